import type { ComparedGroup, ComparisonFactor } from '../cohort/comparison';
import { caseMixQuery } from '../cohort/caseMix';
import { codings, fixationCoding, type Coding } from '../cohort/covariate';
import type { Fragment } from '../cohort/sql';
import type { Question } from '../contract/question';
import type { Database } from '../engine/database';
import type { CaseMix } from './result';

const characteristicsOf = ({ cohort: { joint } }: Question): Readonly<Record<string, Coding>> => ({
  age: codings.age, sex: codings.sex, indication: codings.indication, class: codings.class, asa: codings.asa, bmi: codings.bmi,
  approach: codings.approach, proximal_fixation: fixationCoding(joint, 'proximal'), distal_fixation: fixationCoding(joint, 'distal'),
  period: codings.period,
});

export async function caseMix(
  database: Database, conditions: readonly Fragment[], factor: ComparisonFactor, groups: readonly ComparedGroup[], question: Question,
): Promise<readonly CaseMix[]> {
  const characteristics = Object.entries(characteristicsOf(question));
  const result = await database.query(caseMixQuery(conditions, factor, characteristics.map(([, coding]) => coding)));
  const which = result.numbers('characteristic'), level = result.numbers('level');
  const code = result.numbers('code'), procedures = result.numbers('procedures');

  const counts = characteristics.map(() => new Map<number, number[]>()); // per characteristic: level → count per group; -1: not recorded
  which.forEach((c, row) => {
    const key = Number.isNaN(level[row]!) ? -1 : level[row]!;
    const ofLevel = counts[c]!.get(key) ?? groups.map(() => 0);
    ofLevel[groups.findIndex((g) => g.code === code[row])] = procedures[row]!;
    counts[c]!.set(key, ofLevel);
  });
  return characteristics.map(([characteristic, coding], c) => sideBySide(characteristic, coding, counts[c]!, groups.length));
}

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
