import { parseArgs } from 'node:util';
import { usualSmallest } from '../disclosure/policy';
import type { Days } from '../pooling/reduceRegistry';
import { InputError, shown } from './inputError';

export type ReduceRequest =
  | { readonly form: 'help' }
  | {
    readonly form: 'counts' | 'estimates';
    readonly extract: readonly string[];
    readonly mapping?: string | undefined;
    readonly question: string;
    readonly out: string;
    readonly registry?: string | undefined;
    readonly days: Days;
    readonly smallest: number;
  };

const usualStep = 30;

export const reduceHelp = `Reduces one registry to a small file that can be pooled with those of others. Nothing is sent anywhere.

  npm run -s reduce -- --extract PATH --question FILE --out FILE

  --extract PATH      a folder, a zip or a file of the extract; may be given several times
  --mapping FILE      how files of another form become the tables of the extract, as JSON
  --question FILE     the question as JSON, the same for all registries
  --out FILE          the file to write, as canonical JSON (RFC 8785); one that is there already is not written over
  --registry NAME     what the registry is to be called (usual: as in its extract)
  --days N            lengths of the steps that ends of follow-up are told in (usual: ${usualStep}); steps are joined until no count is small
  --smallest N        the smallest count that may leave (usual: ${usualSmallest})
  --days exact --governance-allows-exact-days
                      days as recorded, many of them of one person: pooled estimates are then exactly those of the rows. Only where the
                      governance of the registry allows that
  --estimates-only    instead of counts the registry's own log hazard ratios with their standard errors, for a meta-analysis; the question
                      must name its groups and its reference

What was written is described on standard output. Look at it before the file leaves.
`;

export function reduceRequest(args: readonly string[]): ReduceRequest {
  const given = parse(args);
  if (given.help === true) return { form: 'help' };
  const needed = (name: 'question' | 'out'): string => given[name] ?? refuse(`--${name} must be given: a JSON file`);
  if (given.extract === undefined) refuse('--extract must be given: a folder, a zip or a file');
  const smallest = wholeNumber('smallest', given.smallest ?? `${usualSmallest}`, 999_999), form = given['estimates-only'] === true ? 'estimates' : 'counts';
  const acknowledged = given['governance-allows-exact-days'] === true;
  if (form === 'estimates' && (given.days !== undefined || acknowledged)) refuse('--days does not go with --estimates-only: estimates tell no days');
  if (given.days === 'exact' && !acknowledged) refuse('--days exact needs --governance-allows-exact-days: the file would hold the days of single persons');
  if (given.days !== 'exact' && acknowledged) refuse('--governance-allows-exact-days goes with --days exact only');
  if (given.days === 'exact' && given.smallest !== undefined) refuse('--smallest does not go with --days exact: counts of 1 are told then');
  const days: Days = given.days === 'exact' ? { days: 'exact' } : { days: 'coarse', smallest, stepDays: wholeNumber('days', given.days ?? `${usualStep}`, 3653) };
  return { form, extract: given.extract, mapping: given.mapping, question: needed('question'), out: needed('out'), registry: given.registry, smallest, days };
}

function wholeNumber(option: string, text: string, most: number): number {
  const number = /^\d{1,6}$/.test(text) ? Number(text) : 0;
  return number >= 1 && number <= most ? number : refuse(`--${option} must be a whole number from 1 to ${most}${option === 'days' ? ', or exact' : ''}: ${shown(text)}`);
}

function refuse(message: string): never {
  throw new InputError(message);
}

function parse(args: readonly string[]) {
  const text = { type: 'string' } as const, flag = { type: 'boolean' } as const;
  const options = {
    help: { ...flag, short: 'h' }, extract: { ...text, multiple: true }, mapping: text, question: text, out: text, registry: text, days: text, smallest: text,
    'governance-allows-exact-days': flag, 'estimates-only': flag,
  } as const;
  try {
    return parseArgs({ args: [...args], options, strict: true, allowPositionals: false }).values;
  } catch (cause) {
    if (!(cause instanceof TypeError)) throw cause;
    throw new InputError(`${cause.message.split('. ')[0]!.replace(/\.$/, '')}; --help lists the options`, { cause });
  }
}
