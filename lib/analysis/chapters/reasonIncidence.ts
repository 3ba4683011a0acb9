import { eventCode } from '../../cohort/outcome';
import { reasonGroupCoding, reasonGroups } from '../../cohort/reasonGroups';
import type { Question } from '../../contract/question';
import { aalenJohansen } from '../../stats/aalenJohansen';
import { indexesByGroup, subset } from '../../stats/subset';
import type { AskedCohort } from '../askedCohort';
import { atTime } from '../atTime';
import { cohortCells } from '../cohortCells';
import { curveOf } from '../curve';
import type { GroupSurvival } from '../groupSurvival';
import type { CompetingRisks, ReasonIncidence } from './competingRisksResult';

export interface ReasonIncidences {
  readonly reasons: CompetingRisks['reasons'];
  readonly byGroup: readonly (readonly ReasonIncidence[])[];
}

/**
 * The event of interest told apart by what it was for; other reasons, other revisions and death compete. Each group's curves stop where
 * its own in `survival` does. Reasons without an event are left out.
 */
export async function reasonIncidences(
  { database, conditions, factor, groups }: AskedCohort, survival: readonly GroupSurvival[], question: Question,
): Promise<ReasonIncidences> {
  const unclustered: Question = { ...question, cluster: 'none' };
  const { cohort, codes: [reasonOfPattern] } = await cohortCells(database, conditions, factor, groups, [reasonGroupCoding], unclustered);
  const { cells, group, pattern } = cohort, reasons = reasonGroups.length;
  const cause = cells.event.map((event, i) => {
    if (event === eventCode.censored) return 0;
    return event === eventCode.ofInterest ? 1 + reasonOfPattern![pattern[i]!]! : reasons + event - eventCode.ofInterest;
  });
  const occurring = [...reasonGroups.keys()].filter((r) => cause.includes(r + 1));
  const byGroup = indexesByGroup(group, groups.length).map((indexes, g) => {
    const { causes } = aalenJohansen(subset({ ...cells, event: cause }, indexes), reasons + eventCode.death - eventCode.ofInterest);
    return occurring.map((r): ReasonIncidence => {
      const incidence = causes[r]!, read: GroupSurvival = { group: groups[g]!.key, km: incidence, stop: survival[g]!.stop };
      return {
        reason: reasonGroups[r]!.key,
        events: incidence.table.events.reduce((sum, d) => sum + d, 0),
        curve: curveOf(read, question),
        atTimes: question.atYears.map((years) => {
          const { events, estimate } = atTime(read, years, question);
          return { years, events, estimate };
        }),
      };
    });
  });
  return { reasons: occurring.map((r) => ({ key: reasonGroups[r]!.key, label: reasonGroups[r]!.label })), byGroup };
}
