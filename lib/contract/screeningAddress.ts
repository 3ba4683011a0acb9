import { procedureParameters } from './address';
import { addressProblems, many, one, readParameters, strayParameters, writeParameters, type Fields, type Parameter } from './addressParameters';
import { ChosenComponent, ScreeningQuestion, type EarlierSignal } from './screeningQuestion';

const questionParameters: readonly Parameter[] = [
  ...one(null, 'text', { against: 'comparator' }),
  ...procedureParameters,
  ...many(null, 'text', { role: 'roles', without: 'exceptModels' }),
  ...many('outcome', 'text', { kind: 'kinds', reason: 'reasons' }),
  ...one('outcome', 'flag', { 'role-only': 'ofRoleOnly' }),
  ...many(null, 'text', { adjust: 'adjust' }),
  ...one(null, 'number', { horizon: 'horizonYears' }),
  ...many(null, 'number', { cut: 'cutYears' }),
  ...one('criteria', 'number', {
    'at-risk': 'minimumAtRisk', 'at-risk-years': 'atRiskYears', expected: 'minimumExpected', ratio: 'minimumRatio', confidence: 'confidence', 'false-share': 'falseDiscoveryRate',
  }),
  ...one('criteria', 'text', { test: 'test' }),
  ...one(null, 'number', { look: 'look' }),
  ...many(null, 'text', { earlier: 'earlier' }),
];
const chosenParameters: readonly Parameter[] = one(null, 'text', { model: 'model', 'of-class': 'class' });
const parameters = [...questionParameters, ...chosenParameters];

/** `2:G-10`: flagged at look 2. A model may be called anything, so the look comes first. */
const written = ({ look, model }: EarlierSignal): string => `${look}:${model}`;
const read = (signal: unknown): unknown => {
  const [, look, model] = typeof signal === 'string' ? /^(\d{1,3}):(.+)$/su.exec(signal) ?? [] : [];
  return look === undefined ? signal : { look: Number(look), model };
};
const withEarlier = ({ earlier, ...question }: Fields): Fields => ({ ...question, ...(Array.isArray(earlier) && { earlier: earlier.map(read) }) });
const earlierWritten = (question: ScreeningQuestion): Fields => ({ ...question, earlier: question.earlier.map(written) });

/** What is screened, and the model that is looked into, as the query part of an address. */
export function toScreeningAddress(question: ScreeningQuestion, chosen: ChosenComponent | null): string {
  const params = new URLSearchParams();
  writeParameters(params, questionParameters, earlierWritten(question), earlierWritten(ScreeningQuestion.parse({})), ['against']);
  if (chosen !== null) writeParameters(params, chosenParameters, chosen, { model: null, class: null });
  return params.toString();
}

export type ScreeningAsked =
  | { readonly status: 'ok'; readonly question: ScreeningQuestion; readonly chosen: ChosenComponent | null }
  | { readonly status: 'refused'; readonly problems: readonly string[] };

/** What an address asks. One that asks anything unknown is refused whole. */
export function fromScreeningAddress(search: string): ScreeningAsked {
  const params = new URLSearchParams(search), asksModel = chosenParameters.some(({ name }) => params.has(name));
  const question = ScreeningQuestion.safeParse(withEarlier(readParameters(params, questionParameters)));
  const chosen = asksModel ? ChosenComponent.safeParse(readParameters(params, chosenParameters)) : null;
  const problems = [...strayParameters(params, parameters), ...addressProblems(question.error, questionParameters, params), ...addressProblems(chosen?.error, chosenParameters, params)];
  if (!question.success || problems.length > 0) return { status: 'refused', problems };
  return { status: 'ok', question: question.data, chosen: chosen?.success === true ? chosen.data : null };
}
