import type { FunnelPosition } from '../../screening/funnel/funnel';
import type { UnitAnalysis, UnitLine, UnitsAnalysis } from '../../screening/units/unitsResult';
import { formatConfidence, formatCount, formatDecimal, formatList, formatPercent, formatRatio } from '../format';
import { finished, ratioWords, reasonWords, type Sentence, type Words } from '../phrases';
import { inSentence } from '../questionWords';
import { mostOutstanding } from './drivers';
import { rankedIn, rankWords } from './observedExpected';
import { qualityWords } from './quality';
import { ruleWords, unitNouns, unitsOutcomeWords } from './unitsQuestionWords';

const observedWords = ({ line, question, peers, adjustedFor }: UnitAnalysis): Words => {
  const { standardised: s, procedures } = line;
  if (s.status !== 'ok') return { text: `What would be expected could not be worked out: ${reasonWords(s.reason)}.`, basis: [procedures] };
  const like = adjustedFor.length === 0 ? 'procedures' : `procedures alike in ${formatList(adjustedFor.map(inSentence))}`;
  return {
    text: `Of ${formatCount(procedures)} procedures ${formatCount(s.observed)} were revised ${unitsOutcomeWords(question)}; ${formatDecimal(s.expected)} would be expected from ${like} among the peers (${peers.label}). `
      + `That is a ratio of ${ratioWords({ value: s.ratio, lower: s.lower, upper: s.upper }, question.confidence)}.`,
    basis: [procedures, s.observed],
  };
};

const beside = ({ side, level }: FunnelPosition): string =>
  (level === null || side === 'within' ? 'lies within' : `lies ${side === 'higher' ? 'above' : 'below'} the ${formatConfidence(level)}`);

/** Whether chance, and how units usually differ, explain it. */
function chanceWords(all: UnitsAnalysis, position: number, basis: readonly number[]): readonly Words[] {
  const at = all.funnel.units[position], { several } = unitNouns[all.question.kind], spread = all.funnel.overdispersion;
  if (!at) return [];
  const chance = at.plain.side === 'within' ? 'that is within what chance alone explains' : `it ${beside(at.plain)} limits of chance alone`;
  const usual = spread.status !== 'ok'
    ? `how much ${several} usually differ could not be worked out (${reasonWords(spread.reason)})`
    : !spread.present ? `${several} differ no more than by chance` : at.widened.side === 'within'
      ? `it is within what the usual differences between ${several} explain` : `it ${beside(at.widened)} limits when the usual differences between ${several} are allowed for`;
  return [{ text: `Among all ${formatCount(all.units.length)} ${several}, ${chance}, and ${usual}.`, basis }];
}

function shrunkenWords(all: UnitsAnalysis, { shrunken, ...line }: UnitLine, basis: readonly number[]): readonly Words[] {
  if (shrunken.status !== 'ok') return [];
  const { confidence, minimumRatio } = all.question, rank = rankWords({ shrunken, ...line }, rankedIn(all));
  return [{
    text: `Drawn towards the mean of all, as its size deserves, the ratio is ${formatRatio(shrunken.mean)} (${formatConfidence(confidence)} credible interval ${formatRatio(shrunken.lower)}–${formatRatio(shrunken.upper)}), `
      + `with a chance of ${formatPercent(100 * shrunken.above)}% that the true one is above ${formatRatio(minimumRatio)}.`
      + (rank === null ? '' : ` Its place, from the lowest ratio, is ${rank}: an order of units says little.`),
    basis,
  }];
}

const statusWords = ({ line, question }: UnitAnalysis, basis: readonly number[]): Words => {
  const rule = ruleWords(question);
  const said: Record<UnitLine['status'], string> = {
    flagged: `By the rule set here (${rule}) this is a reason to ask. It is a question and no verdict: chance, coding and case mix come before performance.`,
    passed: `By the rule set here (${rule}) this gives no reason to ask. That nothing stands out does not show that all is well.`,
    notAssessed: `The rule set here (${rule}) could not be applied: too little is expected.`,
  };
  return { text: said[line.status], basis };
};

/** Why the funnel can say another ratio than the table of the unit. */
export const besideAll = ({ peers }: UnitAnalysis, { question }: UnitsAnalysis): Words => ({
  text: `Here every ${unitNouns[question.kind].one} is held against all of them together; above, the one looked at is held against its peers (${peers.label}). Its ratio may differ a little for that reason.`, basis: [],
});

/** What was seen and how sure it is, the data first; never why, with neither praise nor blame. */
export function unitWords(analysis: UnitAnalysis, all: UnitsAnalysis): readonly (readonly Sentence[])[] {
  const position = all.units.findIndex(({ id }) => id === analysis.unit.id), among = all.units[position];
  const { standardised } = analysis.line, basis = standardised.status === 'ok' ? [standardised.observed] : [analysis.line.procedures];
  return [
    analysis.quality.some(({ unlike }) => unlike) ? [{ text: qualityWords(analysis.quality), basis: [] }] : [],
    [observedWords(analysis), ...(among === undefined ? [] : [...chanceWords(all, position, basis), ...shrunkenWords(all, among, basis)])],
    [statusWords(analysis, basis)],
    mostOutstanding(analysis),
  ].map(finished);
}
