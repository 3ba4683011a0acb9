import type { CohortCells } from './cohortCells';
import { patternCounts } from './levelCounts';

/** A factor that gives each level its own baseline hazard; its code per pattern. */
export interface Stratification { readonly label: string; readonly codes: Int32Array }

/** What is to be said of strata that are not recorded of everyone. */
export const strataNotes = (cohort: CohortCells, strata: readonly Stratification[]): readonly string[] => strata.flatMap(({ label, codes }) => {
  const { procedures } = patternCounts(cohort), missing = procedures.reduce((sum, n, p) => (codes[p]! < 0 ? sum + n : sum), 0), all = procedures.reduce((sum, n) => sum + n, 0);
  if (missing === 0) return [];
  return [missing === all ? `${label} is not recorded: stratifying by it changes nothing.`
    : `${label} is not recorded for ${missing.toLocaleString('en')} procedures: they are a stratum of their own.`];
});

/** The cohort with a stratum for every combination of these factors that occurs; what is not recorded is a level like any other. */
export function stratified(cohort: CohortCells, factors: readonly Int32Array[]): CohortCells {
  if (factors.length === 0) return cohort;
  const numbers = new Map<string, number>();
  const stratumOfPattern = Int32Array.from(factors[0]!.keys(), (p) => {
    const combination = factors.map((codes) => codes[p]).join(',');
    const number = numbers.get(combination) ?? numbers.size;
    numbers.set(combination, number);
    return number;
  });
  return { ...cohort, cells: { ...cohort.cells, stratum: Int32Array.from(cohort.pattern, (p) => stratumOfPattern[p]!) } };
}
