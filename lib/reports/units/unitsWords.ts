import type { UnitsAnalysis } from '../../screening/units/unitsResult';
import { formatCount, formatDecimal, formatPEquation, formatPercent, formatRatio } from '../format';
import { capital, finished, reasonWords, type Sentence } from '../phrases';
import { ruleWords, unitNouns } from './unitsQuestionWords';

/** How many of all units are asked about, and how many would be without anything behind it. */
export function unitsWords({ units, question, funnel, spread, procedures, observed }: UnitsAnalysis): readonly Sentence[] {
  const { one, several } = unitNouns[question.kind], of = (status: string) => units.filter((unit) => unit.status === status).length;
  const flagged = of('flagged'), assessed = units.length - of('notAssessed'), share = (1 - question.alarmLevel) / 2;
  const dispersion = funnel.overdispersion;
  return finished([
    { text: `${formatCount(units.length)} ${units.length === 1 ? one : several} with ${formatCount(procedures)} procedures, ${formatCount(observed)} of them revised.`, basis: [procedures, observed] },
    { text: `Enough is expected of ${formatCount(assessed)} to be assessed, and ${flagged === 0 ? 'none is' : flagged === 1 ? 'one is' : `${formatCount(flagged)} are`} asked about by the rule set here: ${ruleWords(question)}.`, basis: [] },
    {
      text: `Were all alike but for their usual differences, about ${formatPercent(100 * share)}% of those assessed (${formatDecimal(share * assessed)}) would lie above that limit all the same, so a flag is a question and no verdict.`, basis: [],
    },
    dispersion.status !== 'ok'
      ? { text: `How much ${several} differ beyond chance could not be worked out: ${reasonWords(dispersion.reason)}.`, basis: [] }
      : {
          text: dispersion.present
            ? `${capital(several)} differ more than by chance (the variance is ${formatRatio(dispersion.factor)} times what chance gives, extremes drawn in)${spread.status === 'ok' ? `, ${formatPEquation(spread.excess.p)}` : ''}; widened limits allow for that.`
            : `${capital(several)} differ no more than by chance.`,
          basis: [],
        },
  ]);
}
