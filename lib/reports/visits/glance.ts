import { windowOf } from '../../contract/visitWindows';
import type { SignAtVisit, VisitsAnalysis } from '../../visits/visitsResult';
import { paragraph, type Block } from '../blocks';
import { isEstimate } from '../estimate';
import { formatCount, formatPercentEstimate } from '../format';
import { finished, quoted, type Words } from '../phrases';
import { protectSmallCounts } from '../smallCounts';
import { text, type Cell, type ReportTable } from '../table';
import { derived, words } from '../tableCells';
import { enough, latestTold } from './latestVisit';
import { signed, signedLimits } from './signedWords';
import { labelIn } from './visitLabels';

/** Every sign at the latest visit that still assessed some of each group. */
export function glanceBlocks(analysis: VisitsAnalysis): readonly Block[] {
  const { signs, groups } = analysis, names = [...new Set(signs.map(({ measure }) => measure))];
  const latest = names.flatMap((name): readonly SignAtVisit[] => {
    const told = latestTold(signs.filter(({ measure }) => measure === name), (visit) => visit.groups.map(({ assessed }) => assessed));
    return told === undefined ? [] : [told];
  });
  if (latest.length === 0) return [];
  return [
    ...paragraph(finished([{
      text: `Signs at the latest visit at which at least ${enough} of each group were assessed, else at the one that assessed most of its smallest group; of ${groups.map(({ label, procedures }) => `“${label}” (${formatCount(procedures)} procedures with visits)`).join(', ')}. Many signs are compared: some differ by chance.`,
      basis: groups.map(({ procedures }) => procedures),
    }, ...notAssessed(analysis, latest)])),
    { kind: 'table', folded: false, table: protectSmallCounts(glanceTable(analysis, latest)) },
  ];
}

/** Groups without a percent, and so without a difference, of some signs. */
const notAssessed = ({ groups, reference }: VisitsAnalysis, latest: readonly SignAtVisit[]): readonly Words[] => groups.flatMap((group) => {
  const without = latest.filter(({ groups: of }) => of.find((one) => one.group === group.key)?.assessed === 0).length;
  if (without === 0) return [];
  const follows = groups.length < 2 ? '' : group.key === reference ? ', and there no other group can be held against it' : ', and there it can’t be held against others';
  return [{ text: `At these visits nobody with ${quoted(group)} was assessed for ${without === latest.length ? 'any of these signs' : `${formatCount(without)} of these ${formatCount(latest.length)} signs`}${follows}: some signs are read of some implants only.`, basis: [] }];
});

const glanceTable = ({ groups, reference }: VisitsAnalysis, latest: readonly SignAtVisit[]): ReportTable => {
  const others = groups.filter(({ key }) => key !== reference);
  return {
    name: 'signs-at-a-glance', title: 'Signs, percent with limits', method: `Percent of those assessed (Wilson), with how many these are. Differences in percentage points against ${labelIn(groups)(reference)} (Newcombe, method 10). A dash: nobody was assessed, or nobody of those it is held against.`,
    columns: [words('Sign'), words('Visit'), ...groups.map(({ label }, group) => ({ label, numeric: true, group })), ...others.map(({ label }) => ({ label: `${label}, points`, numeric: true }))],
    rows: latest.map(({ label, present, window, groups: of, differences }) => ({
      cells: [
        text(`${label}: ${present}`), text(windowOf(window).label),
        ...groups.map(({ key }): Cell => {
          const one = of.find(({ group }) => group === key);
          return one === undefined || !isEstimate(one.percent) ? text('–') : { ...derived(one.percent.value, () => '', [one.present, one.assessed - one.present]), text: `${formatPercentEstimate(one.percent)} of ${formatCount(one.assessed)}` };
        }),
        ...others.map(({ key }): Cell => {
          const one = differences.find(({ group }) => group === key), basis = of.filter(({ group }) => group === key || group === reference).flatMap(({ present: n, assessed }) => [n, assessed - n]);
          return one === undefined || !isEstimate(one.points) ? text('–') : { ...derived(one.points.value, () => '', basis), text: `${signed(one.points.value)} (${signedLimits(one.points)})` };
        }),
      ],
    })),
  };
};
