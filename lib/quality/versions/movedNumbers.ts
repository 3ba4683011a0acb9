import { analyse } from '../../analysis/analyse';
import type { Analysis, CoxResult, Estimate, NothingToShow } from '../../analysis/result';
import type { AnalysisOptions } from '../../analysis/step';
import type { Question } from '../../contract/question';
import type { LoadedExtract } from '../../engine/loadedExtract';
import type { NotEstimable } from '../../stats/cells';

type Told = Estimate | NotEstimable;

/** A number that was published from both versions. Percents in percentage points, ratios as they are. */
export interface MovedNumber {
  readonly what: 'percent' | 'ratio';
  readonly group: string; // label
  readonly years: number | null; // of a percent
  readonly older: Told & { readonly events: number };
  readonly newer: Told & { readonly events: number };
  readonly moved: number; // newer − older; NaN where one of them is not estimable
}

export interface MovedNumbers {
  readonly question: Question;
  readonly older: { readonly procedures: number; readonly events: number } | null; // null: no procedure meets the conditions
  readonly newer: { readonly procedures: number; readonly events: number } | null;
  readonly rows: readonly MovedNumber[];
  readonly analysis: Analysis | null; // of the newer version, or else the older: for the question in words
}

/** The numbers of one question from both versions, side by side. */
export async function movedNumbers(older: LoadedExtract, newer: LoadedExtract, question: Question, options: AnalysisOptions = {}): Promise<MovedNumbers> {
  const a = await analyse(older, question, options), b = await analyse(newer, question, options);
  const groups = [...new Map([...groupsOf(b), ...groupsOf(a)].map(({ key, label }) => [key, label]))];
  const percents = groups.flatMap(([key, group]) => question.atYears.map((years) => numberOf('percent', group, years, percentAt(a, key, years), percentAt(b, key, years))));
  const ratios = groups.flatMap(([key, group]) => {
    const was = ratioOf(a, key), is = ratioOf(b, key);
    return was === null && is === null ? [] : [numberOf('ratio', group, null, was ?? absent, is ?? absent)];
  });
  return { question, older: totals(a), newer: totals(b), rows: [...percents, ...ratios], analysis: b.status === 'ok' ? b : a.status === 'ok' ? a : null };
}

const absent = { status: 'notEstimable', reason: 'not in this version', events: 0 } as const;
const groupsOf = (analysis: Analysis | NothingToShow) => (analysis.status === 'ok' ? analysis.groups : []);
const totals = (analysis: Analysis | NothingToShow) => (analysis.status !== 'ok' ? null : {
  procedures: analysis.groups.reduce((sum, g) => sum + g.procedures, 0), events: analysis.groups.reduce((sum, g) => sum + g.events, 0),
});

function percentAt(analysis: Analysis | NothingToShow, key: string, years: number): MovedNumber['older'] {
  const found = analysis.status === 'ok' ? analysis.atTimes.find((at) => at.group === key && at.years === years) : undefined;
  return found === undefined ? absent : { ...found.estimate, events: found.events };
}

function ratioOf(analysis: Analysis | NothingToShow, key: string): MovedNumber['older'] | null {
  if (analysis.status !== 'ok') return null;
  const adjusted: CoxResult | NotEstimable = analysis.adjusted;
  if (adjusted.status === 'notEstimable') return key === analysis.reference ? null : { ...adjusted, events: 0 };
  const found = adjusted.ratios.find(({ term, level }) => term === 'group' && level === key);
  return found === undefined ? null : { ...found.estimate, events: found.events };
}

const isTold = (told: Told): told is Estimate => 'value' in told;

const numberOf = (what: MovedNumber['what'], group: string, years: number | null, older: MovedNumber['older'], newer: MovedNumber['newer']): MovedNumber =>
  ({ what, group, years, older, newer, moved: isTold(older) && isTold(newer) ? newer.value - older.value : NaN });
