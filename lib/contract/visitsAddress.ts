import { procedureParameters } from './address';
import { addressProblems, many, one, readParameters, strayParameters, writeParameters, type Parameter } from './addressParameters';
import { VisitsQuestion } from './visitsQuestion';

/** The parameters of the address in their order, each with the field it stands for. */
const parameters: readonly Parameter[] = [
  ...one(null, 'text', { compare: 'compare' }),
  ...procedureParameters,
  ...one('cohort', 'text', { role: 'role' }),
  ...many('cohort', 'text', { design: 'designs', model: 'models', without: 'exceptModels' }),
  ...many(null, 'text', { group: 'groups' }),
  ...one(null, 'flag', { others: 'withOthers' }),
  ...one(null, 'text', { reference: 'reference' }),
  ...many(null, 'text', { adjust: 'adjust' }),
  ...one(null, 'text', { cluster: 'cluster' }),
  ...many(null, 'text', { visit: 'windows', measure: 'measures' }),
  ...one(null, 'number', { 'head-over': 'headOffsetOverMm' }),
  ...many(null, 'number', { landmark: 'landmarkYears' }),
  ...many('outcome', 'text', { kind: 'kinds', reason: 'reasons' }),
  ...one('outcome', 'flag', { 'role-only': 'ofRoleOnly' }),
  ...one(null, 'number', { horizon: 'horizonYears', confidence: 'confidence' }),
  ...one(null, 'text', { instrument: 'instrument' }),
  ...one('importantDifference', 'number', { important: 'value' }),
  ...one('importantDifference', 'text', {
    'important-in': 'measure', 'important-instrument': 'instrument', 'important-anchor': 'anchor', 'important-population': 'population', 'important-source': 'source',
  }),
];

/** The question as the query part of an address, without a question mark. What is as usual is left out. */
export function toVisitsAddress(question: VisitsQuestion): string {
  const params = new URLSearchParams();
  writeParameters(params, parameters, question, VisitsQuestion.parse({}));
  return params.toString();
}

export type VisitsAsked =
  | { readonly status: 'ok'; readonly question: VisitsQuestion }
  | { readonly status: 'refused'; readonly problems: readonly string[] };

/** What an address asks. One that asks anything unknown is refused whole. */
export function fromVisitsAddress(search: string): VisitsAsked {
  const params = new URLSearchParams(search);
  const question = VisitsQuestion.safeParse(readParameters(params, parameters));
  const problems = [...strayParameters(params, parameters), ...addressProblems(question.error, parameters, params)];
  return question.success && problems.length === 0 ? { status: 'ok', question: question.data } : { status: 'refused', problems };
}
