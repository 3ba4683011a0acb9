import type { Analysis, AnsweredCurves, AtTime, AttritionStep, CaseMix, CoxRatios, CoxResult, Group, HazardRatio } from '../analysis/result';
import type { Question } from '../contract/question';
import { formatConfidence, formatCount, formatDaysAsYears, formatDecimal, formatP, formatPercent, formatRatio, formatSpan } from './format';
import { periodName } from './plainWords';
import { guardedCount } from './smallCounts';
import { text, type Cell, type Column, type Place, type Relation, type ReportTable, type Row } from './table';
import { timesShown } from './timesShown';
import { smallAtSteps } from './toldDays';
import { count, derived, estimateCells, number, plain, ratioCells, ratioColumns, words } from './tableCells';

// The tables of a comparison, one function each.

export const attritionTable = (steps: readonly AttritionStep[]): ReportTable => ({
  name: 'who-is-counted',
  title: 'Who is counted',
  method: 'Each step leaves out those who do not meet it, among those still in.',
  columns: [words('Step'), number('Left out'), number('Remaining')],
  rows: steps.map(({ label, excluded, remaining }, i) => ({
    cells: [
      text(label), i === 0 && excluded === 0 ? text('') : count(excluded),
      { ...count(remaining), ...((i === 0 || i === steps.length - 1) && { toldElsewhere: true }) }, // all kept procedures, and the cohort
    ],
  })),
  relations: steps.slice(1).map((_, i) => ({ whole: [i, 2], parts: [[i + 1, 1], [i + 1, 2]] })), // who remained is left out, or remains
});

export const groupsTable = ({ groups, reference }: Analysis): ReportTable => ({
  name: 'groups',
  title: 'The groups and their users',
  method: 'Median follow-up by the reverse Kaplan–Meier method (Schemper & Smith 1996, Control Clin Trials 17:343). The largest user is the hospital or surgeon with most procedures of the group.',
  columns: [
    words('Group'), number('Procedures'), number('Patients'), number('Revised'), number('Other revision'), number('Died unrevised'),
    number('Component-years'), number('Median follow-up, years'), number('First year'), number('Last year'),
    number('Hospitals'), number('Largest hospital, %'), number('Surgeons'), number('Largest surgeon, %'),
  ],
  rows: groups.map((g, i) => ({
    group: i,
    cells: [
      text(g.key === reference && groups.length > 1 ? `${g.label} (reference)` : g.label), count(g.procedures), { ...count(g.patients), basis: [g.patients, g.procedures] }, count(g.events),
      count(g.competing.otherRevisions), count(g.competing.deaths), plain(g.componentYears), plain(g.medianFollowUpDays, (d) => (Number.isNaN(d) ? 'not reached' : formatDaysAsYears(d))),
      plain(g.firstYear, String), plain(g.lastYear, String), users(g.hospitals), largestUser(g.largestHospitalShare, g),
      users(g.surgeons), largestUser(g.largestSurgeonShare, g),
    ],
  })),
  relations: [
    ...([{ column: 1, of: 'procedures' }, { column: 3, of: 'events' }] as const).map(({ column, of }): Relation => ({ whole: totalOf(groups, of), parts: groups.map((_, row) => [row, column]) })), // told with the source
    ...groups.map(({ procedures, events, competing: { otherRevisions, deaths } }, row): Relation => ({ whole: [row, 1], parts: [[row, 3], [row, 4], [row, 5]], rest: procedures - events - otherRevisions - deaths })),
  ],
});

/** Of a small group, the share tells how few procedures one user did. */
const largestUser = (share: number, { procedures }: Group): Cell => derived(share, formatPercent, [procedures, Math.round((share * procedures) / 100)]);
const users = (n: number) => plain(n, (some) => (some === 0 ? 'not recorded' : formatCount(some)));

const totalOf = (groups: readonly Pick<Group, 'procedures' | 'events'>[], of: 'procedures' | 'events'): number => groups.reduce((sum, group) => sum + group[of], 0);

export const caseMixTable = ({ groups, caseMix }: { readonly groups: readonly Pick<Group, 'label'>[]; readonly caseMix: readonly CaseMix[] }): ReportTable => ({
  name: 'who-got-what',
  title: 'Who got what',
  method: 'Count and percent of the group’s procedures. The difference is the largest absolute standardised difference between two groups over the levels (Austin 2009, Stat Med 28:3083); above 0.1 is often read as imbalance.',
  blocksAddUp: true,
  columns: [
    words('Characteristic'), words('Level'),
    ...groups.flatMap((g, i): Column[] => [{ label: `${g.label}, n`, numeric: true, group: i }, { label: `${g.label}, %`, numeric: true, group: i }]),
    number('Difference'),
  ],
  rows: caseMix.flatMap((mix, m) => { const first = caseMix.slice(0, m).reduce((sum, { levels }) => sum + levels.length, 0); return mix.levels.map((level, l) => caseMixRow(mix, level, l, first)); }),
});

/** The counts of the levels that are as far apart as the largest difference: it tells them. */
function revealed({ levels, largestDifference }: CaseMix, first: number): readonly Place[] {
  const differences = levels.map(({ percents }) => Math.max(...percents.flatMap((p) => percents.map((q) => { const [a, b] = [p / 100, q / 100]; return a === b ? 0 : Math.abs(a - b) / Math.sqrt((a * (1 - a) + b * (1 - b)) / 2); }))));
  return levels.flatMap(({ counts }, l) => (differences[l]! >= largestDifference - 1e-6 ? counts.map((_, g): Place => [first + l, 2 + 2 * g]) : []));
}

function caseMixRow(mix: CaseMix, level: CaseMix['levels'][number], position: number, first: number): Row {
  const { characteristic, label, largestDifference } = mix;
  const cells = level.counts.flatMap((n, g) => [count(n), derived(level.percents[g] ?? NaN, formatPercent, [n])]);
  return {
    block: characteristic,
    cells: [text(position === 0 ? label : ''), text(level.label), ...cells, position === 0 ? { ...plain(largestDifference, (d) => (d === Infinity ? 'all against none' : formatRatio(d))), reveals: revealed(mix, first) } : text('')],
  };
}

export const calendarTable = ({ groups, calendar }: Analysis): ReportTable => ({
  name: 'procedures-per-year',
  title: 'Procedures per calendar year',
  method: 'Counts of primary procedures.',
  blocksAddUp: true,
  columns: [words('Year'), ...groups.map((g, i): Column => ({ label: g.label, numeric: true, group: i }))],
  rows: calendar.years.map((year, y) => ({ block: 'years', cells: [text(String(year)), ...groups.map((_, g) => count(calendar.counts[g]?.[y] ?? 0))] })),
});

interface PercentsAsked {
  readonly groups: readonly (Pick<Group, 'key' | 'label'> & Partial<Pick<Group, 'events'>>)[];
  readonly atTimes: readonly AtTime[];
  readonly question: Pick<Question, 'atYears' | 'confidence' | 'horizonYears' | 'largestStep'>;
}

export const percentTable = ({ groups, atTimes, question }: PercentsAsked): ReportTable => ({
  name: 'cumulative-percent-revision',
  title: 'Cumulative percent revision',
  method: `100 (1 − Kaplan–Meier), limits log-log with Greenwood’s variance at ${formatConfidence(question.confidence)}; stopped where one more revision would lower survival by more than ${formatPercent(100 * question.largestStep)} percentage points. Revised: up to and including the time; at risk: just before it. Outside the page a time is left out between which and the next one told few were revised.`,
  columns: [words('Time'), words('Group'), number('At risk'), number('Revised'), number('Percent'), number('Lower'), number('Upper')],
  rows: timesShown(question).flatMap((years) =>
    groups.flatMap((g, i): Row[] => {
      const own = atTimes.filter((a) => a.group === g.key).sort((a, b) => a.years - b.years), at = own.find((a) => a.years === years);
      if (at === undefined) return [];
      const step = smallAtSteps(own.map(({ events }) => events), g.events)[own.indexOf(at)] ?? 0; // revised since the time before
      return [{
        block: String(years), group: i,
        cells: [text(formatSpan(years)), text(g.label), count(at.atRisk), { ...count(at.events), basis: [at.events, step] }, ...estimateCells(at.estimate, formatPercent, [at.atRisk, at.events, step])],
      }];
    })),
});

export const ratesTable = ({ groups, rates, question }: AnsweredCurves): ReportTable => ({
  name: 'revision-rates',
  title: 'Revisions per 100 component-years',
  method: `Exact Poisson limits at ${formatConfidence(question.confidence)}. Assumes a constant rate: groups followed for unlike times must not be compared by it.`,
  columns: [words('Group'), number('Revised'), number('Component-years'), number('Per 100 years'), number('Lower'), number('Upper')],
  rows: rates.map((rate) => {
    const i = groups.findIndex((g) => g.key === rate.group);
    return {
      group: i,
      cells: [text(groups[i]?.label ?? rate.group), count(rate.events), plain(rate.componentYears), ...estimateCells(rate.per100, formatRatio, [rate.events])],
    };
  }),
  relations: [{ whole: totalOf(groups, 'events'), parts: rates.map((_, row) => [row, 1]) }],
});

const coxMethod = (cox: CoxRatios, { question }: AnsweredCurves): string =>
  `Cox regression, Efron ties; ${cox.clusterLabel === null ? 'model-based limits' : `robust limits, clustered by ${cox.clusterLabel}`} at ${formatConfidence(question.confidence)}; `
  + `complete records only: ${guardedCount(cox.procedures)} procedures, ${guardedCount(cox.events)} revised.`;

export const ratiosTable = (name: string, title: string, analysis: AnsweredCurves, cox: CoxRatios): ReportTable => ({
  name, title,
  method: coxMethod(cox, analysis),
  columns: ratioColumns,
  rows: cox.ratios.map((ratio) => ({ ...groupOf(analysis, ratio), cells: ratioCells(ratio) })),
  relations: ratioRelations(cox),
});

/** The levels of a term and its reference make all in the model. */
function ratioRelations({ ratios, procedures, events }: CoxRatios): readonly Relation[] {
  const terms = [...new Set(ratios.filter(({ against }) => against !== null).map(({ term }) => term))];
  return terms.flatMap((term) => ([['procedures', 1, procedures], ['events', 2, events]] as const).map(([of, column, whole]): Relation => {
    const rows = [...ratios.keys()].filter((r) => ratios[r]?.term === term), others = rows.reduce((sum, r) => sum + ratios[r]![of], 0);
    return { whole, parts: rows.map((r) => [r, column]), rest: Math.max(0, whole - others) };
  }));
}

export const periodsTable = (analysis: Analysis, cox: CoxResult): ReportTable => {
  const inPeriods = 'status' in analysis.periods ? [] : analysis.periods.flatMap((period) => period.ratios.filter(({ term }) => term === 'group').map((ratio) => ({ period, ratio })));
  return {
    name: 'hazard-ratios-by-period',
    title: 'Hazard ratios by period since surgery',
    method: `${coxMethod(cox, analysis)} One ratio per group and period, cut at ${analysis.question.cutYears.map(formatSpan).join(' and ')}.`,
    columns: [words('Period'), ...ratioColumns],
    rows: inPeriods.map(({ period, ratio }) => ({
      block: String(period.fromDay), ...groupOf(analysis, ratio), cells: [text(periodName(period, analysis.question.cutYears)), ...ratioCells(ratio)],
    })),
    // the revisions of the periods are those of all time
    relations: cox.ratios.filter(({ term }) => term === 'group').map(({ level, events }): Relation => ({ whole: events, parts: inPeriods.flatMap(({ ratio }, r): Place[] => (ratio.level === level ? [[r, 3]] : [])) })),
  };
};

const groupOf = ({ groups }: AnsweredCurves, { term, level }: HazardRatio): { readonly group?: number } => {
  const group = groups.findIndex((g) => g.key === level);
  return term === 'group' && group >= 0 ? { group } : {};
};

export const proportionalHazardsTable = (cox: CoxResult): ReportTable => ({
  name: 'proportional-hazards',
  title: 'Test of proportional hazards',
  method: 'Score test from scaled Schoenfeld residuals against the Kaplan–Meier transform of time (Grambsch & Therneau 1994, Biometrika 81:515). With many revisions it flags trifles, with few it misses much.',
  columns: [words('Term'), number('χ²'), number('Degrees of freedom'), number('p')],
  rows: 'status' in cox.proportionalHazards ? [] : cox.proportionalHazards.map((test) => ({
    cells: [text(test.label), plain(test.chisq, formatDecimal), plain(test.df), plain(test.p, formatP)],
  })),
});
