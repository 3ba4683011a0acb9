import type { CompetingGroup, CompetingRatios, CompetingRisks } from '../../analysis/chapters/competingRisksResult';
import type { Analysis, Curve, HazardRatio } from '../../analysis/result';
import { joinedSteps } from '../curvesTable';
import { formatConfidence, formatPercent, formatSpan } from '../format';
import { smallestCount } from '../smallCounts';
import { text, type Column, type ReportTable, type Row } from '../table';
import { count, derived, estimateCells, number, plain, ratioCells, ratioColumns, words } from '../tableCells';

const estimated = (what: string): readonly Column[] => [number(`${what}, %`), number(`${what}, lower`), number(`${what}, upper`)];

/** Both questions side by side at each time asked for. */
export function competingTable({ question }: Analysis, { groups }: CompetingRisks): ReportTable {
  const hasOthers = groups.some(({ curves }) => curves.otherRevision !== null);
  return {
    name: 'revision-and-death',
    title: 'Revision and death',
    method: `If none died: 100 (1 − Kaplan–Meier). As patients live, and died: cumulative incidence (Aalen–Johansen). Limits at ${formatConfidence(question.confidence)}. Gap: percentage points between the two. Counts up to the time.`,
    columns: [
      words('Time'), words('Group'), number('At risk'), number('Revised'), ...(hasOthers ? [number('Other revision')] : []), number('Died unrevised'),
      ...estimated('If none died'), ...estimated('As patients live'), number('Gap'), ...(hasOthers ? estimated('Other revision') : []), ...estimated('Died unrevised'),
    ],
    rows: question.atYears.flatMap((years) => groups.flatMap(({ label, atTimes }, group) => {
      const at = atTimes.find((a) => a.years === years);
      if (at === undefined) return [];
      const own = [at.atRisk, at.events.revision];
      return [{
        block: String(years), group,
        cells: [
          text(formatSpan(years)), text(label), count(at.atRisk), count(at.events.revision), ...(hasOthers ? [count(at.events.otherRevision)] : []), count(at.events.death),
          ...estimateCells(at.ifNoneDied, formatPercent, own), ...estimateCells(at.revision, formatPercent, own), derived(at.gap, formatPercent, own),
          ...(at.otherRevision === null ? [] : estimateCells(at.otherRevision, formatPercent, [at.atRisk, at.events.otherRevision])),
          ...estimateCells(at.death, formatPercent, [at.atRisk, at.events.death]),
        ],
      }];
    })),
  };
}

/** The reasons add up to all revisions of a group, so that none of them may be had from the others. */
export function reasonsTable({ question }: Analysis, { groups, reasons }: CompetingRisks): ReportTable {
  return {
    name: 'reasons-for-revision',
    title: 'Reasons for revision',
    method: `Cumulative incidence by reason (Aalen–Johansen), as patients live, with limits at ${formatConfidence(question.confidence)}. The reasons of a group add up to its percent revised for any of them.`,
    blocksAddUp: true,
    columns: [
      words('Time'), words('Reason'),
      ...groups.flatMap(({ label }, group) => ['n', '%', 'lower', 'upper'].map((what): Column => ({ label: `${label}, ${what}`, numeric: true, group }))),
    ],
    rows: question.atYears.flatMap((years) => reasons.map(({ key, label }) => ({
      block: String(years),
      cells: [
        text(formatSpan(years)), text(label),
        ...groups.flatMap((group) => {
          const at = group.reasons.find(({ reason }) => reason === key)?.atTimes.find((a) => a.years === years);
          return at === undefined ? [text(''), text(''), text(''), text('')] : [count(at.events), ...estimateCells(at.estimate, formatPercent, [at.events])];
        }),
      ],
    }))),
  };
}

export const sideBySide = ['revision', 'death', 'subdistribution'] as const;
export const sideBySideLabels: Readonly<Record<(typeof sideBySide)[number], string>> = {
  revision: 'Revision among those alive and unrevised (cause-specific)',
  death: 'Death before revision (cause-specific)',
  subdistribution: 'Revision, the dead kept in (subdistribution)',
};

export const competingRatiosTable = (analysis: Analysis, { groups }: CompetingRatios): ReportTable => ({
  name: 'hazard-ratios-revision-and-death',
  title: 'Hazard ratios where patients also die',
  method: `Cause-specific ratios: Cox regression. Subdistribution: Fine & Gray 1999, J Am Stat Assoc 94:496. The same procedures and adjustment throughout; limits at ${formatConfidence(analysis.question.confidence)}.`,
  columns: [words('Event'), ...ratioColumns.map((column) => (column.label === 'Revised' ? number('Events') : column))],
  rows: sideBySide.flatMap((kind) => groups.map((ratios) => ({
    block: kind, group: analysis.groups.findIndex((g) => g.key === ratios.group), cells: [text(sideBySideLabels[kind]), ...ratioCells(ratios[kind] satisfies HazardRatio)],
  }))),
});

/** Both curves of each group to take away, steps joined until each holds enough revisions. */
export const competingCurvesTable = ({ groups }: CompetingRisks): ReportTable => ({
  name: 'revision-curves-as-patients-live',
  title: 'Curves of revision and death',
  method: `As patients live, and died: cumulative incidence (Aalen–Johansen). If none died: 100 (1 − Kaplan–Meier). Steps are joined until each holds at least ${smallestCount} revisions; at risk: just before the day.`,
  columns: [
    words('Group'), number('Day'), number('At risk'), ...estimated('As patients live'), ...estimated('If none died'), ...estimated('Died unrevised'),
  ],
  rows: groups.flatMap((group, g) => joinedSteps(revisionsOf(group)).map((i): Row => {
    const { revision, ifNoneDied, death } = group.curves;
    const at = ({ percent, lower, upper }: Curve) => [percent, lower, upper].map((values) => plain(values[i]!, formatPercent));
    return { group: g, cells: [text(group.label), plain(revision.days[i]!), count(revision.atRisk[i]!), ...at(revision), ...at(ifNoneDied), ...at(death)] };
  })),
});

/** A step of the incidence by d/n of those who had no event before: d = n (F after − F before) / S before. The curves of a group have the same days. */
function revisionsOf({ curves: { revision, otherRevision, death } }: CompetingGroup): readonly number[] {
  return Array.from(revision.percent, (after, i) => {
    const before = (curve: Curve | null) => (curve === null || i === 0 ? 0 : curve.percent[i - 1]!);
    const eventFree = 100 - before(revision) - before(otherRevision) - before(death);
    return Math.round((revision.atRisk[i]! * (after - before(revision))) / eventFree);
  });
}
