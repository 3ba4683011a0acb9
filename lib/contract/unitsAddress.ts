import { procedureParameters } from './address';
import { addressProblems, many, one, readParameters, strayParameters, writeParameters, type Parameter } from './addressParameters';
import { UnitsQuestion } from './unitsQuestion';

/** The parameters of the address in their order, each with the field it stands for. None of them names a hospital or a surgeon. */
const parameters: readonly Parameter[] = [
  ...one(null, 'text', { units: 'kind' }),
  ...procedureParameters,
  ...many('outcome', 'text', { kind: 'kinds', reason: 'reasons' }),
  ...many(null, 'text', { adjust: 'adjust' }),
  ...one(null, 'text', { peers: 'peers' }),
  ...one(null, 'number', { horizon: 'horizonYears', confidence: 'confidence', 'largest-step': 'largestStep' }),
  ...many(null, 'number', { at: 'atYears' }),
  ...one(null, 'text', { widening: 'widening' }),
  ...one(null, 'number', { 'alarm-level': 'alarmLevel', 'smallest-ratio': 'minimumRatio', 'fewest-expected': 'minimumExpected' }),
  ...one('benchmark', 'number', { benchmark: 'percent', 'benchmark-margin': 'margin', 'benchmark-at': 'atYears', 'benchmark-year': 'setIn' }),
  ...one('benchmark', 'text', { 'benchmark-joint': 'joint', 'benchmark-source': 'source' }),
];

/** The question as the query part of an address, without a question mark. What is as usual is left out. */
export function toUnitsAddress(question: UnitsQuestion): string {
  const params = new URLSearchParams();
  writeParameters(params, parameters, question, UnitsQuestion.parse({}));
  return params.toString();
}

export type UnitsAsked =
  | { readonly status: 'ok'; readonly question: UnitsQuestion }
  | { readonly status: 'refused'; readonly problems: readonly string[] };

/** What an address asks. One that asks anything unknown is refused whole. */
export function fromUnitsAddress(search: string): UnitsAsked {
  const params = new URLSearchParams(search);
  const question = UnitsQuestion.safeParse(readParameters(params, parameters));
  const problems = [...strayParameters(params, parameters), ...addressProblems(question.error, parameters, params)];
  return question.success && problems.length === 0 ? { status: 'ok', question: question.data } : { status: 'refused', problems };
}
