import { parseArgs } from 'node:util';
import { z } from 'zod';
import { chapterNames, type ChapterName } from '../analysis/chapters';
import { codesOf, procedureClassCodes } from '../contract/codes';
import { roundings, usualPolicy } from '../disclosure/policy';
import { InputError, shown } from './inputError';

const names = z.string().transform((text) => text.split(',').map((name) => name.trim()).filter((name) => name !== ''));
const optionalNames = names.optional().transform((list) => list ?? []);
const atLeastZero = (rule: string) => z.string().transform((text, context) => {
  const numbers = text.split(',').map((part) => (part.trim() === '' ? NaN : Number(part)));
  if (numbers.every((n) => Number.isFinite(n) && n >= 0)) return numbers;
  context.addIssue({ code: 'custom', message: rule });
  return z.NEVER;
});
const oneNumber = atLeastZero('must be one number of at least 0').refine((list) => list.length === 1, 'must be one number of at least 0');
const column = z.string({ error: 'must be given: the name of a column' }).min(1, 'must be the name of a column');

const aboveZero = z.string().transform((given, context) => {
  const number = given.trim() === '' ? NaN : Number(given);
  if (Number.isFinite(number) && number > 0) return number;
  context.addIssue({ code: 'custom', message: 'must be one number above 0' });
  return z.NEVER;
});
const chapters = z.string().default('all').transform((given, context): readonly ChapterName[] => {
  if (given === 'all') return chapterNames;
  const asked = given === 'none' ? [] : given.split(',').map((name) => name.trim());
  if (asked.every((name): name is ChapterName => (chapterNames as readonly string[]).includes(name))) return asked;
  context.addIssue({ code: 'custom', message: `must be all, none or names of ${chapterNames.join(', ')} with commas between` });
  return z.NEVER;
});

const wholeNumber = z.string().regex(/^[1-9]\d{0,5}$/, 'must be a whole number of at least 1').transform(Number);
const extractPaths = { extract: z.array(z.string().min(1, 'must be a path')), mapping: z.string().min(1, 'must be a JSON file').optional() };
const ExtractOptions = z.object({
  ...extractPaths,
  question: z.string({ error: 'must be given: a JSON file' }).min(1, 'must be a JSON file'),
  chapters,
  protected: z.string().min(1, 'must be a folder').optional(),
  smallest: wholeNumber.default(usualPolicy.smallest),
  rounding: z.enum(['1', '5', '10'], 'must be 1, 5 or 10').default('1').transform((base) => roundings.find((one) => String(one) === base) ?? 1),
});
const identifier = (what: string) => z.string().min(1, `must be the identifier of a ${what}`).max(64, `must be the identifier of a ${what}`);
const UnitsOptions = z.object({
  ...extractPaths,
  units: z.string().min(1, 'must be a JSON file'),
  hospital: identifier('hospital').optional(),
  surgeon: identifier('surgeon').optional(),
  peer: z.array(identifier('hospital')).default([]),
});
const ScreeningOptions = z.object({
  ...extractPaths,
  screening: z.string().min(1, 'must be a JSON file'),
  model: z.string().min(1, 'must be the code of a model').max(64, 'must be the code of a model').optional(),
  class: z.enum(codesOf(procedureClassCodes), 'must be the code of a class of procedure').optional(),
});
const MonitoringOptions = z.object({
  ...extractPaths,
  monitoring: z.string().min(1, 'must be a JSON file'),
  hospital: identifier('hospital').optional(),
  surgeon: identifier('surgeon').optional(),
});
const VisitsOptions = z.object({
  ...extractPaths,
  visits: z.string().min(1, 'must be a JSON file'),
});
const QualityOptions = z.object({
  ...extractPaths,
  against: z.array(z.string().min(1, 'must be a path')).default([]),
  question: z.string().min(1, 'must be a JSON file').optional(),
});
const TableOptions = z.object({
  table: z.string().min(1, 'must be a CSV file'),
  time: column,
  event: column,
  entry: column.optional(),
  group: column.optional(),
  covariates: optionalNames,
  factors: optionalNames,
  strata: optionalNames,
  cluster: column.optional(),
  count: column.optional(),
  ties: z.enum(['efron', 'breslow'], 'must be efron or breslow').default('efron'),
  conf: z.enum(['log-log', 'log', 'plain'], 'must be log-log, log or plain').default('log-log'),
  'min-at-risk': oneNumber.default([0]).transform(([least]) => least ?? 0),
  at: atLeastZero('must be numbers of at least 0 with commas between').default([]),
  tau: aboveZero.optional(),
  bandwidth: aboveZero.optional(),
});
export type ExtractOptions = z.infer<typeof ExtractOptions>;
export type UnitsOptions = z.infer<typeof UnitsOptions>;
export type ScreeningOptions = z.infer<typeof ScreeningOptions>;
export type MonitoringOptions = z.infer<typeof MonitoringOptions>;
export type VisitsOptions = z.infer<typeof VisitsOptions>;
export type QualityOptions = z.infer<typeof QualityOptions>;
export type TableOptions = z.infer<typeof TableOptions>;
export type Request =
  | { readonly form: 'help' }
  | { readonly form: 'extract'; readonly options: ExtractOptions }
  | { readonly form: 'units'; readonly options: UnitsOptions }
  | { readonly form: 'screening'; readonly options: ScreeningOptions }
  | { readonly form: 'monitoring'; readonly options: MonitoringOptions }
  | { readonly form: 'visits'; readonly options: VisitsOptions }
  | { readonly form: 'quality'; readonly options: QualityOptions }
  | { readonly form: 'table'; readonly options: TableOptions };

const text = { type: 'string' } as const;
const tableOnly = {
  time: text, event: text, entry: text, group: text, covariates: text, factors: text, strata: text, cluster: text, count: text,
  ties: text, conf: text, 'min-at-risk': text, at: text, tau: text, bandwidth: text,
} as const;
const questionOnly = { question: text, chapters: text, protected: text, smallest: text, rounding: text } as const;
const unitsOnly = { units: text, hospital: text, surgeon: text, peer: { type: 'string', multiple: true } } as const;
const screeningOnly = { screening: text, model: text, class: text } as const;
const monitoringOnly = { monitoring: text } as const;
const visitsOnly = { visits: text } as const;
const qualityOnly = { quality: { type: 'boolean' }, against: { type: 'string', multiple: true } } as const;

export function requestOf(args: readonly string[]): Request {
  const given = parse(args);
  if (given.help === true) return { form: 'help' };
  if ((given.extract === undefined) === (given.table === undefined)) {
    throw new InputError('give either --extract with --question, or --table with --time and --event; --help says how');
  }
  const refuse = (others: object, asked: string): void => {
    const stray = Object.keys(others).find((name) => name in given);
    if (stray !== undefined) throw new InputError(`--${stray} does not go with --${asked}`);
  };
  if (given.table !== undefined) {
    refuse({ mapping: text, ...questionOnly, ...unitsOnly, ...screeningOnly, ...monitoringOnly, ...visitsOnly, ...qualityOnly }, 'table');
    return { form: 'table', options: checked(TableOptions, given) };
  }
  refuse(tableOnly, 'extract');
  if (given.visits !== undefined) {
    refuse({ ...questionOnly, ...unitsOnly, ...screeningOnly, ...monitoringOnly, ...qualityOnly }, 'visits');
    return { form: 'visits', options: checked(VisitsOptions, given) };
  }
  if (given.quality === true) {
    refuse({ chapters: text, ...unitsOnly, ...screeningOnly, ...monitoringOnly }, 'quality');
    if (given.question !== undefined && given.against === undefined) throw new InputError('--question goes with --quality only where --against is given');
    return { form: 'quality', options: checked(QualityOptions, given) };
  }
  if (given.against !== undefined) throw new InputError('--against needs --quality');
  if (given.screening !== undefined) {
    refuse({ ...questionOnly, ...unitsOnly, ...monitoringOnly }, 'screening');
    if (given.class !== undefined && given.model === undefined) throw new InputError('--class needs --model');
    return { form: 'screening', options: checked(ScreeningOptions, given) };
  }
  if (given.units !== undefined) {
    refuse({ ...questionOnly, ...screeningOnly, ...monitoringOnly }, 'units');
    if (given.hospital !== undefined) refuse({ surgeon: text }, 'hospital');
    if (given.peer !== undefined && given.hospital === undefined && given.surgeon === undefined) throw new InputError('--peer needs --hospital or --surgeon');
    return { form: 'units', options: checked(UnitsOptions, given) };
  }
  if (given.monitoring !== undefined) {
    refuse({ ...questionOnly, ...screeningOnly, peer: text }, 'monitoring');
    if (given.hospital !== undefined) refuse({ surgeon: text }, 'hospital');
    return { form: 'monitoring', options: checked(MonitoringOptions, given) };
  }
  refuse({ ...unitsOnly, ...screeningOnly }, 'question');
  if (given.protected === undefined) refuse({ smallest: text, rounding: text }, 'question without --protected');
  return { form: 'extract', options: checked(ExtractOptions, given) };
}

function parse(args: readonly string[]) {
  try {
    const options = { help: { type: 'boolean', short: 'h' }, extract: { type: 'string', multiple: true }, mapping: text, table: text, ...questionOnly, ...unitsOnly, ...screeningOnly, ...monitoringOnly, ...visitsOnly, ...qualityOnly, ...tableOnly } as const;
    return parseArgs({ args: [...args], options, strict: true, allowPositionals: false }).values;
  } catch (cause) {
    if (!(cause instanceof TypeError)) throw cause;
    throw new InputError(`${cause.message.split('. ')[0]!.replace(/\.$/, '')}; --help lists the options`, { cause });
  }
}

function checked<T extends z.ZodType>(schema: T, given: Readonly<Record<string, unknown>>): z.infer<T> {
  const result = schema.safeParse(given);
  if (result.success) return result.data;
  const { path, message } = result.error.issues[0]!;
  const option = String(path[0]);
  throw new InputError(`--${option} ${message}${option in given ? `: ${shown(given[option])}` : ''}`);
}
