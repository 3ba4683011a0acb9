import { addressProblems, many, one, readParameters, strayParameters, writeParameters, type Parameter } from './addressParameters';
import { openingQuestion } from './openingQuestion';
import { Question } from './question';
import { View } from './view';

/** Which procedures count: the same in the address of every page. */
export const procedureParameters: readonly Parameter[] = [
  ...one('cohort', 'text', { joint: 'joint' }),
  ...many('cohort', 'text', { class: 'classes', indication: 'indications', sex: 'sexes', proximal: 'proximalFixations', distal: 'distalFixations' }),
  ...one('cohort', 'number', { 'age-from': 'minAge', 'age-to': 'maxAge', 'year-from': 'firstYear', 'year-to': 'lastYear' }),
];

/** The parameters of the address in their order, each with the field it stands for. */
const questionParameters: readonly Parameter[] = [
  ...one(null, 'text', { compare: 'compare' }),
  ...procedureParameters,
  ...one('cohort', 'text', { role: 'role' }),
  ...many('cohort', 'text', { design: 'designs', model: 'models', without: 'exceptModels' }),
  ...many(null, 'text', { group: 'groups' }),
  ...one(null, 'flag', { others: 'withOthers' }),
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

/**
 * The question and its view as the query part of an address, without a question mark. What is as usual is left out, but `compare`
 * is always there: an address without parameters asks the opening question.
 */
export function toAddress(question: Question, view: View): string {
  const params = new URLSearchParams();
  writeParameters(params, questionParameters, question, Question.parse({}), ['compare']);
  writeParameters(params, viewParameters, view, View.parse({}));
  return params.toString();
}

export type Asked =
  | { readonly status: 'ok'; readonly question: Question; readonly view: View }
  | { readonly status: 'refused'; readonly problems: readonly string[] };

/** What an address asks. One that asks anything unknown is refused whole: a cohort must never be wider than its link says. */
export function fromAddress(search: string): Asked {
  const params = new URLSearchParams(search);
  const view = View.safeParse(readParameters(params, viewParameters));
  const asksNothing = !questionParameters.some((p) => params.has(p.name));
  const question = asksNothing ? { success: true as const, data: openingQuestion, error: undefined } : Question.safeParse(readParameters(params, questionParameters));
  const problems = [...strayParameters(params, parameters), ...addressProblems(question.error, questionParameters, params), ...addressProblems(view.error, viewParameters, params)];
  return question.success && view.success && problems.length === 0 ? { status: 'ok', question: question.data, view: view.data } : { status: 'refused', problems };
}
