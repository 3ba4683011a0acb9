import type { CompetingGroup, CompetingRatios, CompetingRisks } from '../../analysis/chapters/competingRisksResult';
import type { Analysis, Curve, HazardRatio } from '../../analysis/result';
import { formatConfidence, formatPercent, formatSpan } from '../format';
import { smallestCount } from '../smallCounts';
import { text, type Column, type Relation, type ReportTable, type Row } from '../table';
import { incidencesOf, smallAtSteps, toldDays } from '../toldDays';
import { atRiskAt, positionAt, traceOf } from '../trace';
import { count, derived, estimateCells, number, plain, ratioCells, ratioColumns, words } from '../tableCells';
import { timesShown } from '../timesShown';

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
    rows: timesShown(question).flatMap((years) => groups.flatMap(({ label, atTimes, events }, group) => {
      const times = [...atTimes].sort((a, b) => a.years - b.years), at = times.find((a) => a.years === years);
      if (at === undefined) return [];
      const steps = (of: 'revision' | 'otherRevision' | 'death') => smallAtSteps(times.map((a) => a.events[of]), events[of])[times.indexOf(at)] ?? 0;
      const small = { revision: steps('revision'), otherRevision: steps('otherRevision'), death: steps('death') }, own = [at.atRisk, at.events.revision, small.revision];
      const counted = (of: 'revision' | 'otherRevision' | 'death') => ({ ...count(at.events[of]), basis: [at.events[of], small[of]] });
      return [{
        block: String(years), group,
        cells: [
          text(formatSpan(years)), text(label), count(at.atRisk), counted('revision'), ...(hasOthers ? [counted('otherRevision')] : []), counted('death'),
          ...estimateCells(at.ifNoneDied, formatPercent, own), ...estimateCells(at.revision, formatPercent, own), derived(at.gap, formatPercent, own),
          ...(at.otherRevision === null ? [] : estimateCells(at.otherRevision, formatPercent, [at.atRisk, at.events.otherRevision, small.otherRevision])),
          ...estimateCells(at.death, formatPercent, [at.atRisk, at.events.death, small.death]),
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
    rows: timesShown(question).flatMap((years) => reasons.map(({ key, label }) => ({
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

export const competingRatiosTable = (analysis: Analysis, { groups, procedures }: CompetingRatios): ReportTable => ({
  name: 'hazard-ratios-revision-and-death',
  title: 'Hazard ratios where patients also die',
  method: `Cause-specific ratios: Cox regression. Subdistribution: Fine & Gray 1999, J Am Stat Assoc 94:496. The same procedures and adjustment throughout; limits at ${formatConfidence(analysis.question.confidence)}.`,
  columns: [words('Event'), ...ratioColumns.map((column) => (column.label === 'Revised' ? number('Events') : column))],
  relations: sideBySide.map((_, k): Relation => ({ whole: procedures, parts: groups.map((_group, g) => [k * groups.length + g, 2]), rest: Math.max(0, procedures - groups.reduce((sum, g) => sum + g.revision.procedures, 0)) })),
  rows: sideBySide.flatMap((kind) => groups.map((ratios) => ({
    block: kind, group: analysis.groups.findIndex((g) => g.key === ratios.group), cells: [text(sideBySideLabels[kind]), ...ratioCells(ratios[kind] satisfies HazardRatio)],
  }))),
});

/** The curves of each group to take away, at month ends between which of every event none or enough happened. */
export const competingCurvesTable = ({ groups }: CompetingRisks): ReportTable => ({
  name: 'revision-curves-as-patients-live',
  title: 'Curves of revision and death',
  method: `As patients live, and died: cumulative incidence (Aalen–Johansen). If none died: 100 (1 − Kaplan–Meier). Read at month ends between which of every event none, or at least ${smallestCount()}, happened; at risk: just before the day.`,
  columns: [
    words('Group'), number('Day'), number('At risk'), ...estimated('As patients live'), ...estimated('If none died'), ...estimated('Died unrevised'),
  ],
  rows: groups.flatMap((group, g) => curveRows(group, g)),
});

function curveRows(group: CompetingGroup, g: number): readonly Row[] {
  const { label, curves: { revision, ifNoneDied, otherRevision, death }, events } = group;
  const kinds = [{ events: incidencesOf(revision, group), total: events.revision }, { events: incidencesOf(death, group), total: events.death }, ...(otherRevision === null ? [] : [{ events: incidencesOf(otherRevision, group), total: events.otherRevision }])];
  return toldDays(revision, kinds).map(({ day, counts: [revised = 0, died = 0] }): Row => {
    const i = positionAt(revision, day), atRisk = atRiskAt(traceOf(revision), day) ?? revision.atRisk[i]!;
    const at = ({ percent, lower, upper }: Curve, n: number) => [percent, lower, upper].map((values) => derived(values[i]!, formatPercent, [n, revision.atRisk[i]!]));
    return { group: g, cells: [text(label), plain(day), count(atRisk), ...at(revision, revised), ...at(ifNoneDied, revised), ...at(death, died)] };
  });
}
