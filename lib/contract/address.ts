import type { z } from 'zod';
import { openingQuestion } from './openingQuestion';
import { Question } from './question';
import { View } from './view';

type Path = 'cohort' | 'outcome' | null;
interface Parameter { readonly name: string; readonly of: Path; readonly field: string; readonly kind: 'text' | 'number' | 'flag'; readonly many: boolean }

const one = (of: Path, kind: Parameter['kind'], names: Readonly<Record<string, string>>): Parameter[] =>
  Object.entries(names).map(([name, field]) => ({ name, of, field, kind, many: false }));
const many = (of: Path, kind: Parameter['kind'], names: Readonly<Record<string, string>>): Parameter[] =>
  one(of, kind, names).map((p) => ({ ...p, many: true }));

/** The parameters of the address in their order, each with the field it stands for. A list is a parameter given several times. */
const questionParameters: readonly Parameter[] = [
  ...one(null, 'text', { compare: 'compare' }),
  ...one('cohort', 'text', { joint: 'joint', role: 'role' }),
  ...many('cohort', 'text', {
    class: 'classes', indication: 'indications', sex: 'sexes', proximal: 'proximalFixations', distal: 'distalFixations',
    design: 'designs', model: 'models',
  }),
  ...one('cohort', 'number', { 'age-from': 'minAge', 'age-to': 'maxAge', 'year-from': 'firstYear', 'year-to': 'lastYear' }),
  ...many(null, 'text', { group: 'groups' }),
  ...one(null, 'text', { reference: 'reference' }),
  ...many(null, 'text', { adjust: 'adjust', strata: 'strata' }),
  ...one(null, 'text', { cluster: 'cluster' }),
  ...many('outcome', 'text', { kind: 'kinds', reason: 'reasons' }),
  ...one('outcome', 'flag', { 'role-only': 'ofRoleOnly' }),
  ...one(null, 'number', { horizon: 'horizonYears', confidence: 'confidence', 'largest-step': 'largestStep' }),
  ...many(null, 'number', { at: 'atYears', cut: 'cutYears' }),
];
const viewParameters: readonly Parameter[] = [
  ...one(null, 'text', { axis: 'axis' }),
  ...one(null, 'number', { span: 'spanYears' }),
  ...one(null, 'flag', { bands: 'bands' }),
  ...one(null, 'text', { deaths: 'deaths' }),
];
const parameters = [...questionParameters, ...viewParameters];

type Fields = Readonly<Record<string, unknown>>;
const isFields = (value: unknown): value is Fields => typeof value === 'object' && value !== null && !Array.isArray(value);
const within = (fields: Fields, of: Path): Fields => (of === null ? fields : isFields(fields[of]) ? fields[of] : {});

const written = (value: unknown): string => (typeof value === 'boolean' ? (value ? 'yes' : 'no') : String(value));

/** A malformed number or flag stays text, for the schema to refuse. */
function read(kind: Parameter['kind'], given: string): unknown {
  if (kind === 'number') return /^-?\d+(\.\d+)?$/.test(given) ? Number(given) : given;
  if (kind === 'flag') return given === 'yes' ? true : given === 'no' ? false : given;
  return given;
}

function write(into: URLSearchParams, all: readonly Parameter[], value: Fields, defaults: Fields) {
  for (const { name, of, field, many: several } of all) {
    const [asked, usual] = [within(value, of)[field], within(defaults, of)[field]];
    if (name !== 'compare' && JSON.stringify(asked) === JSON.stringify(usual)) continue;
    if (!several) into.append(name, asked === null ? '' : written(asked));
    else if (Array.isArray(asked)) (asked.length === 0 ? [''] : asked).forEach((item) => { into.append(name, written(item)); });
  }
}

/**
 * The question and its view as the query part of an address, without a question mark. What is as usual is left out, but `compare`
 * is always there: an address without parameters asks the opening question.
 */
export function toAddress(question: Question, view: View): string {
  const params = new URLSearchParams();
  write(params, questionParameters, question, Question.parse({}));
  write(params, viewParameters, view, View.parse({}));
  return params.toString();
}

export type Asked =
  | { readonly status: 'ok'; readonly question: Question; readonly view: View }
  | { readonly status: 'refused'; readonly problems: readonly string[] };

function fieldsOf(params: URLSearchParams, all: readonly Parameter[]): Fields {
  const fields: Record<string, unknown> = {};
  const parts: Record<string, Record<string, unknown>> = {};
  for (const { name, of, field, kind, many: several } of all) {
    if (!params.has(name)) continue;
    const given = params.getAll(name);
    const value = several ? given.filter((v) => v !== '' || given.length > 1).map((v) => read(kind, v)) : given[0] === '' ? null : read(kind, given[0] ?? '');
    if (of === null) fields[field] = value;
    else (parts[of] ??= {})[field] = value;
  }
  return { ...fields, ...parts };
}

function problemsOf(params: URLSearchParams): string[] {
  const known = new Map(parameters.map((p) => [p.name, p]));
  return [...new Set(params.keys())].flatMap((name) => {
    const parameter = known.get(name);
    if (parameter === undefined) return [`“${name}” is not a parameter of the address.`];
    return !parameter.many && params.getAll(name).length > 1 ? [`“${name}” stands in the address ${params.getAll(name).length} times; it takes one value.`] : [];
  });
}

const nameOf = (path: readonly PropertyKey[]): string => {
  const [first, second] = path;
  const found = parameters.find((p) => (p.of === null ? p.field === first : p.of === first && p.field === second));
  return found?.name ?? path.join('.');
};

/** What an address asks. One that asks anything unknown is refused whole: a cohort must never be wider than its link says. */
export function fromAddress(search: string): Asked {
  const params = new URLSearchParams(search);
  const view = View.safeParse(fieldsOf(params, viewParameters));
  const asksNothing = !questionParameters.some((p) => params.has(p.name));
  const question = asksNothing ? { success: true as const, data: openingQuestion, error: undefined } : Question.safeParse(fieldsOf(params, questionParameters));
  const problems = problemsOf(params);
  for (const { error } of [question, view]) {
    problems.push(...(error?.issues ?? []).map((issue: z.core.$ZodIssue) => `“${nameOf(issue.path)}” in the address: ${issue.message}.`));
  }
  return question.success && view.success && problems.length === 0 ? { status: 'ok', question: question.data, view: view.data } : { status: 'refused', problems };
}
