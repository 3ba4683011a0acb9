import { balance, type SideBySide } from '../../../stats/weighting/balance';
import type { CohortCells } from '../../cohortCells';
import type { Adjustment } from '../../completeCases';
import { continuousTerm, designMatrix, factorTerm, type Term } from '../../designMatrix';
import { levelCounts } from '../../levelCounts';
import type { BalanceRow, BalanceSide } from '../sameCaseMixResult';

/** Every level of every covariate, the reference too, in each group without and with weights. */
export function balanceRows({ cells, group, pattern, groupOfPattern }: CohortCells, adjustments: readonly Adjustment[], weight: Float64Array, groups: number): readonly BalanceRow[] {
  const cohort = { cells, group, pattern, groupOfPattern };
  const terms = adjustments.map((adjustment) => allLevels(cohort, adjustment));
  const rows = balance(designMatrix(terms, pattern, groupOfPattern.length), cells.count, weight, group, groups);
  let next = 0;
  return terms.flatMap(({ columns }, t) => columns.map(({ level, name }): BalanceRow => {
    const { before, after } = rows[next++]!, { covariate, coding } = adjustments[t]!, scale = level === null ? 1 : 100;
    return { covariate, label: coding.label, level: level === null ? null : name, before: side(before, scale), after: side(after, scale) };
  }));
}

const side = ({ means, largestDifference }: SideBySide, scale: number): BalanceSide => ({ values: Array.from(means, (mean) => scale * mean), largestDifference });

function allLevels(cohort: CohortCells, { covariate, coding, codes }: Adjustment): Term {
  const { value } = coding;
  if (value !== undefined) return continuousTerm(covariate, coding.label, (pattern) => value(codes[pattern]!));
  const found = [...levelCounts(cohort, codes).keys()].sort((a, b) => a - b);
  return factorTerm(covariate, codes, found.map((code) => ({ code, level: coding.level(code).key, name: coding.level(code).label })), -1);
}
