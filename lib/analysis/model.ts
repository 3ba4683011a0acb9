import type { ComparedGroup } from '../cohort/comparison';
import type { Design } from '../stats/cells';
import type { CohortCells } from './cohortCells';
import type { Adjustment } from './completeCases';
import { continuousTerm, designMatrix, factorTerm, type FactorLevel, type Term } from './designMatrix';
import { levelCounts } from './levelCounts';

/** A term of the model of the groups, with what its ratios are to be shown with. */
export interface ModelTerm extends Term {
  readonly label: string;
  /** Label of the reference level; null for a continuous covariate. */
  readonly against: string | null;
}

/** The groups against the reference, adjusted; the term `group` comes first. */
export interface Model {
  readonly cohort: CohortCells;
  readonly terms: readonly ModelTerm[];
  readonly design: Design;
  readonly notes: readonly string[];
}

/**
 * The reference of a covariate is its commonest level among these cells: the contrasts with it have the smallest standard errors.
 * A covariate of which they have one level only is left out with a note.
 */
export function modelOf(cohort: CohortCells, groups: readonly ComparedGroup[], reference: string, adjustments: readonly Adjustment[]): Model {
  const groupLevels = groups.map(({ key, label }, code) => ({ code, level: key, name: label }));
  const groupTerm = termOfLevels('group', 'Group', cohort.groupOfPattern, groupLevels, groups.findIndex((g) => g.key === reference));
  const all = [groupTerm, ...adjustments.map((adjustment) => covariateTerm(cohort, adjustment))];
  const terms = all.filter((t) => t.columns.length > 0);
  return {
    cohort,
    terms,
    design: designMatrix(terms, cohort.pattern, cohort.groupOfPattern.length),
    notes: all.filter((t) => t.columns.length === 0).map((t) => `${t.label} is not in the model: it is the same for all.`),
  };
}

export function covariateTerm(cohort: CohortCells, { covariate, coding, codes }: Adjustment): ModelTerm {
  const { value } = coding;
  if (value !== undefined) {
    return { ...continuousTerm(covariate, coding.label, (pattern) => value(codes[pattern]!)), label: coding.label, against: null };
  }
  const counts = levelCounts(cohort, codes);
  const levels = [...counts.keys()].sort((a, b) => a - b).map((code) => ({ code, level: coding.level(code).key, name: coding.level(code).label }));
  const commonest = levels.reduce((most, { code }) => (counts.get(code)!.procedures > (counts.get(most)?.procedures ?? 0) ? code : most), -1);
  return termOfLevels(covariate, coding.label, codes, levels, commonest);
}

const termOfLevels = (term: string, label: string, codes: Int32Array, levels: readonly FactorLevel[], reference: number): ModelTerm =>
  ({ ...factorTerm(term, codes, levels, reference), label, against: levels.find((l) => l.code === reference)?.name ?? null });
