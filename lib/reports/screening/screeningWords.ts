import type { ComponentsAnalysis, ScreenedModel } from '../../screening/components/screeningResult';
import { isEstimate } from '../estimate';
import { formatCount, formatConfidence, formatDecimal, formatList, formatPEquation, formatRatio } from '../format';
import { capital, ratioWords, reasonWords, type Words } from '../phrases';
import { componentWords, comparatorLabels } from './screeningQuestionWords';
import { standingLabels, statusLabels, unmetWords } from './screenedTables';
import type { Compared } from './standingForest';

/** What the run found, in numbers of models. */
export function foundWords({ models, assessed, question }: ComponentsAnalysis, compared: readonly Compared[]): readonly Words[] {
  const flagged = models.filter(({ status }) => status === 'flagged'), aside = models.length - assessed, standing = compared.filter(({ model, comparison }) => model.status === 'flagged' && comparison.standing === 'upheld');
  const { falseDiscoveryRate } = question.criteria;
  return [
    { text: `Of ${formatCount(models.length)} models in use, ${formatCount(assessed)} could be assessed${aside > 0 ? ` and ${formatCount(aside)} could not` : ''}, each against ${comparatorLabels[question.comparator]}.`, basis: [] },
    flagged.length === 0
      ? { text: 'None is flagged. That is no proof of safety: what could have been seen is listed with each model below.', basis: [] }
      : { text: `${capital(formatList(flagged.map(componentWords)))} ${flagged.length === 1 ? 'is' : 'are'} flagged: ${flagged.length === 1 ? 'it was' : 'they were'} revised more often than the others by every condition set beforehand.`, basis: [] },
    ...(flagged.length === 0 ? [] : [{ text: `Adjusted, within hospitals and without the largest users, ${standing.length === flagged.length ? (flagged.length === 1 ? 'that stands' : 'that stands for each') : `that stands for ${standing.length} of ${flagged.length}`}. A flag asks for review; it does not say that the implant is the reason.`, basis: [] }]),
    { text: `Of what is flagged, at most ${formatConfidence(falseDiscoveryRate)} is expected to be by chance, over all ${formatCount(assessed)} models of all roles assessed in this run together.`, basis: [] },
  ];
}

const ratesWords = ({ ratio, observed, procedures, expected, othersProcedures }: ScreenedModel, confidence: number): Words => ({
  text: `${formatCount(observed)} of ${formatCount(procedures)} procedures were revised, where ${formatDecimal(expected)} would be expected were it like all of its kind, itself among them`
    + (ratio.status === 'ok' ? `: ${ratioWords({ value: ratio.ratio, lower: ratio.lower, upper: ratio.upper }, confidence)} times the rate of the ${formatCount(othersProcedures)} procedures with others.` : `; ${reasonWords(ratio.reason)}.`),
  basis: [observed],
});

/** What one model did, and what comes of it once adjusted. */
export function modelWords({ model, comparison }: Compared, confidence: number): readonly Words[] {
  const { adjusted, proportionality, byPeriod } = comparison;
  const ratio = adjusted.status === 'ok' ? adjusted.ratio : null, basis = ratio === null ? [] : [ratio.events];
  return [
    { text: `${capital(componentWords(model))}.`, basis: [] },
    ratesWords(model, confidence),
    ...(ratio !== null && isEstimate(ratio.estimate) ? [{ text: `Adjusted, its hazard was ${ratioWords(ratio.estimate, confidence)} times the others’.`, basis }] : []),
    ...('chisq' in proportionality && byPeriod ? [{ text: `The ratio changes with time since surgery (${formatPEquation(proportionality.p)}): it is read by period.`, basis: [] }] : []),
    { text: standingWords(comparison), basis: [] },
    ...(model.status === 'flagged' ? [] : [{ text: `At this look it is ${statusLabels[model.status]}${unmetWords(model) === '' ? '' : ` (not met: ${unmetWords(model)})`}.`, basis: [] }]),
  ];
}

function standingWords({ standing, criteria, adjusted }: Compared['comparison']): string {
  const unmet = criteria.filter(({ status }) => status !== 'met');
  const why = unmet.map(({ name, status, value, reason }) => {
    const where = { adjusted: 'adjusted', withinHospitals: 'within each hospital', withoutLargestUser: 'without the largest hospital users' }[name];
    return status === 'notMet' ? `${where} the lower limit is ${formatRatio(value)}` : `${where}: ${reasonWords(reason ?? '')}`;
  });
  switch (standing) {
    case 'upheld': return `It ${standingLabels.upheld}.`;
    case 'hospitals': return `It ${standingLabels.hospitals}: ${formatList(why)}. That may be the hospitals’ and not the implant’s, or too few revisions to tell.`;
    case 'notUpheld': return `It ${standingLabels.notUpheld}: ${why[0] ?? ''}. Case mix, period, hospitals or chance may explain it, or too few revisions to tell.`;
    case 'cannotSay': return `What comes of it once adjusted cannot be said: ${reasonWords(adjusted.status === 'ok' ? (criteria[0]?.reason ?? '') : adjusted.reason)}.`;
  }
}
