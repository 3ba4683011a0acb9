import { eventCode, leavesOtherRevisions } from '../../cohort/outcome';
import type { Question } from '../../contract/question';
import { aalenJohansen, type CauseIncidence } from '../../stats/aalenJohansen';
import { indexesByGroup, subset } from '../../stats/subset';
import type { AskedCohort } from '../askedCohort';
import { atTime } from '../atTime';
import { curveOf } from '../curve';
import { groupSurvival, type GroupSurvival } from '../groupSurvival';
import type { AtTime } from '../result';
import type { Step } from '../step';
import { basisOf, limits, stopRule } from './basis';
import { competingRatios } from './competingRatios';
import type { CompetingAtTime, CompetingGroup, CompetingRisks } from './competingRisksResult';
import { grayTests } from './grayTests';
import { reasonIncidences } from './reasonIncidence';

const gapWorthTelling = 1; // percentage point

/** Revision where patients also die: what happens to patients beside what would happen to implants if nobody died. */
export async function competingRisks(asked: AskedCohort, question: Question, step: Step): Promise<CompetingRisks> {
  const { cohort, groups } = asked, keys = groups.map((group) => group.key);
  await step('Counting deaths and other revisions', 0.2);
  const survival = groupSurvival(cohort.cells, cohort.group, keys, question);
  const causesOfGroup = indexesByGroup(cohort.group, groups.length).map((indexes) => aalenJohansen(subset(cohort.cells, indexes), eventCode.death).causes);
  await step('Telling revisions apart by reason', 0.4);
  const { reasons, byGroup } = await reasonIncidences(asked, survival, question);
  await step('Comparing cumulative incidences', 0.6);
  const gray = grayTests(asked);
  await step('Setting hazard ratios side by side', 0.7);
  const ratios = competingRatios(asked, question);
  const described = groups.map(({ key, label }, g): CompetingGroup => (
    { group: key, label, ...incidenceOf(survival[g]!, causesOfGroup[g]!, question), reasons: byGroup[g]! }
  ));
  return {
    status: 'ok',
    ...basisOf(asked, methods(question, asked)),
    reference: asked.reference,
    groups: described,
    gray,
    ratios,
    reasons,
    gapPrompt: described.some(({ atTimes }) => atTimes.some(({ gap }) => gap > gapWorthTelling)),
  };
}

/** All curves of a group stop where 1 − KM does. */
function incidenceOf(net: GroupSurvival, causes: readonly CauseIncidence[], question: Question): Omit<CompetingGroup, 'group' | 'label' | 'reasons'> {
  const [revision, otherRevision, death] = causes.map((km): GroupSurvival => ({ ...net, km })) as [GroupSurvival, GroupSurvival, GroupSurvival];
  const hasOthers = leavesOtherRevisions(question.outcome);
  const events = ({ km }: GroupSurvival) => km.table.events.reduce((sum, d) => sum + d, 0);
  return {
    procedures: net.km.table.procedures,
    events: { revision: events(revision), otherRevision: events(otherRevision), death: events(death) },
    curves: {
      ifNoneDied: curveOf(net, question),
      revision: curveOf(revision, question),
      otherRevision: hasOthers ? curveOf(otherRevision, question) : null,
      death: curveOf(death, question),
    },
    atTimes: question.atYears.map((years): CompetingAtTime => {
      const [before, own, others, died] = [net, revision, otherRevision, death].map((read) => atTime(read, years, question)) as [AtTime, AtTime, AtTime, AtTime];
      return {
        years,
        atRisk: before.atRisk,
        events: { revision: own.events, otherRevision: others.events, death: died.events },
        ifNoneDied: before.estimate,
        revision: own.estimate,
        otherRevision: hasOthers ? others.estimate : null,
        death: died.estimate,
        gap: 'value' in before.estimate && 'value' in own.estimate ? before.estimate.value - own.estimate.value : NaN,
      };
    }),
  };
}

const methods = ({ confidence, largestStep }: Question, { strata, clusters: cluster }: AskedCohort): readonly string[] => [
  `Cumulative incidence: Aalen and Johansen 1978; ${limits(confidence)} on the scale log(−log(1 − F)); ${stopRule(largestStep)}`,
  `Percent revised if nobody died: Kaplan and Meier 1958; ${limits(confidence)} by Greenwood’s formula on the scale log(−log S)`,
  `Equality of cumulative incidences: Gray 1988, ρ = 0${strata.length > 0 ? ', stratified' : ''}`,
  `Cause-specific hazard ratios: Cox 1972, ties as in Efron 1977; ${limits(confidence)}${cluster === 'none' ? ' of the model' : ` robust over each ${cluster} (Lin and Wei 1989)`}`,
  `Subdistribution hazard ratios: Fine and Gray 1999, weights by each group’s own length of follow-up; ${limits(confidence)} robust over each ${cluster === 'none' ? 'procedure' : cluster}`,
];
