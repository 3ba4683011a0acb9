import { procedureParameters } from './address';
import { addressProblems, many, one, readParameters, strayParameters, writeParameters, type Parameter } from './addressParameters';
import { MonitoringQuestion } from './monitoringQuestion';

const parameters: readonly Parameter[] = [
  ...one(null, 'text', { of: 'kind', role: 'role', model: 'model' }),
  ...procedureParameters,
  ...many('outcome', 'text', { kind: 'kinds', reason: 'reasons' }),
  ...one('outcome', 'flag', { 'role-only': 'ofRoleOnly' }),
  ...many(null, 'text', { adjust: 'adjust' }),
  ...one(null, 'number', {
    horizon: 'horizonYears', 'largest-step': 'largestStep', ratio: 'ratio', 'false-alarm': 'falseAlarm', over: 'overYears', histories: 'histories', seed: 'seed', lag: 'lagDays',
  }),
  ...one(null, 'text', { from: 'firstDay', to: 'lastDay', restart: 'restart', looks: 'looks' }),
  ...many(null, 'text', { review: 'reviews' }),
];

/** The question as the query part of an address. Hospitals and surgeons have no place in it. */
export function toMonitoringAddress(question: MonitoringQuestion): string {
  const params = new URLSearchParams();
  writeParameters(params, parameters, question, MonitoringQuestion.parse({}), ['of']);
  return params.toString();
}

export type MonitoringAsked =
  | { readonly status: 'ok'; readonly question: MonitoringQuestion }
  | { readonly status: 'refused'; readonly problems: readonly string[] };

/** What an address asks. One that asks anything unknown is refused whole. */
export function fromMonitoringAddress(search: string): MonitoringAsked {
  const params = new URLSearchParams(search), question = MonitoringQuestion.safeParse(readParameters(params, parameters));
  const problems = [...strayParameters(params, parameters), ...addressProblems(question.error, parameters, params)];
  return question.success && problems.length === 0 ? { status: 'ok', question: question.data } : { status: 'refused', problems };
}
