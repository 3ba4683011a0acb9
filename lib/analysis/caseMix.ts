import type { ComparedGroup, ComparisonFactor } from '../cohort/comparison';
import { codings, fixationCoding, type Coding } from '../cohort/covariate';
import type { Fragment } from '../cohort/sql';
import type { Question } from '../contract/question';
import type { Database } from '../engine/database';
import type { CaseMix } from './result';
import { codeExpression, cohortRows } from './rows/cohortRows';
import { crossTable } from './rows/crossTable';

/** What groups are set side by side by. */
export const characteristicsOf = ({ cohort: { joint } }: Question): Readonly<Record<string, Coding>> => ({
  age: codings.age, sex: codings.sex, indication: codings.indication, class: codings.class, asa: codings.asa, bmi: codings.bmi,
  approach: codings.approach, proximal_fixation: fixationCoding(joint, 'proximal'), distal_fixation: fixationCoding(joint, 'distal'),
  period: codings.period,
});

export async function caseMix(
  database: Database, conditions: readonly Fragment[], factor: ComparisonFactor, groups: readonly ComparedGroup[], question: Question,
): Promise<readonly CaseMix[]> {
  const rows = await cohortRows(database, conditions, factor), mix: CaseMix[] = [];
  for (const [characteristic, coding] of Object.entries(characteristicsOf(question))) {
    const { values, count, total } = await crossTable(rows, codeExpression(coding));
    const counts = new Map(values.flatMap((value, place) => (total(place) === 0 ? [] : [[Number.isNaN(value) ? -1 : value, groups.map(({ code }) => count(code, place))]])));
    mix.push(sideBySide(characteristic, coding, counts, groups.length));
  }
  return mix;
}

/** @param counts by level, -1: not recorded, a count per group */
function sideBySide(characteristic: string, coding: Coding, counts: ReadonlyMap<number, readonly number[]>, groups: number): CaseMix {
  const totals = Array.from({ length: groups }, (_, g) => [...counts.values()].reduce((sum, ofLevel) => sum + ofLevel[g]!, 0));
  const levels = [...counts].map(([code, ofLevel]) => ({
    ...(code < 0 ? { key: 'not_recorded', label: 'Not recorded' } : coding.level(code)),
    counts: ofLevel,
    percents: ofLevel.map((n, g) => (100 * n) / totals[g]!),
  }));
  return { characteristic, label: coding.label, levels, largestDifference: Math.max(0, ...levels.map((l) => largestStandardisedDifference(l.percents))) };
}

/**
 * Largest absolute standardised difference of a proportion between any two groups, |p − q| / √((p(1 − p) + q(1 − q)) / 2);
 * Infinity where all of one group and none of another have it. Austin 2009, Commun Stat Simul Comput 38:1228.
 */
export function largestStandardisedDifference(percents: readonly number[]): number {
  let largest = 0;
  for (const [i, first] of percents.entries()) {
    for (const second of percents.slice(i + 1)) {
      const p = first / 100, q = second / 100;
      if (p !== q) largest = Math.max(largest, Math.abs(p - q) / Math.sqrt((p * (1 - p) + q * (1 - q)) / 2));
    }
  }
  return largest;
}
