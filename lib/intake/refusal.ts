import type { Problem } from '../contract/loadReport';

/** Ends a load: the extract can't be used as it is. Caught by `loadExtract`, which returns the problems. */
export class Refusal extends Error {
  override readonly name = 'Refusal';
  readonly problems: readonly Problem[];

  constructor(problems: readonly Problem[]) {
    super(problems.map(({ message }) => message).join('\n'));
    this.problems = problems;
  }
}

type Where = Partial<Pick<Problem, 'file' | 'line' | 'field' | 'value'>>;

/** @param text the finding without where it was made: file and line are put before it. */
export function problem(rule: string, text: string, { file = null, line = null, field = null, value = null }: Where = {}): Problem {
  const place = [file, line === null ? null : `line ${line.toLocaleString('en')}`, field].filter((part) => part !== null).join(', ');
  return { file, line, field, rule, value, message: place === '' ? text : `${place}: ${text}` };
}

export const refuse = (rule: string, text: string, where: Where = {}): never => {
  throw new Refusal([problem(rule, text, where)]);
};

/** A list for a message: the first few, and how many more. */
export function someOf(names: readonly string[], shown = 8): string {
  const more = names.length - shown;
  return more > 0 ? `${names.slice(0, shown).join(', ')} and ${more} more` : names.join(', ');
}
