import type { Cells, Design, NotEstimable } from '../cells';
import { cholesky, quadraticForm, relativeTolerance } from '../cholesky';
import { chiSquareTest, cox, type ChiSquareTest, type CoxFit, type CoxOptions } from './cox';
import { hazardRatios, type HazardRatio } from './hazardRatios';
import { robustCovariance, type RobustCovariance } from './robust';

export interface SubgroupOptions extends CoxOptions {
  /** Two-sided, 0–1; default 0.95. */
  readonly confidence?: number;
  /** Limits, p-values and Wald test that allow for clusters; default false. */
  readonly robust?: boolean;
}

/** The hazard ratios of the chosen columns among the procedures of one level. */
export interface Subgroup {
  readonly level: string;
  readonly procedures: number;
  readonly events: number;
  /** In the order of the chosen columns. */
  readonly ratios: readonly (HazardRatio | (NotEstimable & { readonly name: string }))[];
}

export interface SubgroupHazardRatios {
  readonly status: 'ok';
  readonly subgroups: readonly Subgroup[];
  /** That the ratios are the same in all subgroups: Wald among those with an estimate; likelihood ratio, which knows no clusters, among all. */
  readonly interaction: { readonly wald: ChiSquareTest | NotEstimable; readonly likelihoodRatio: ChiSquareTest | NotEstimable };
  /** Columns: the others, the levels but the first, then the chosen ones level by level. */
  readonly fit: CoxFit;
  readonly robust: RobustCovariance | NotEstimable | null;
}

/**
 * The effect of the columns `varying` (indexes) apart in each level of a factor, from one model in which the other columns have one effect and
 * each level a hazard of its own. `subgroup`: level of each pattern, from 0. One test of the differences, not one per subgroup, says whether
 * they are more than chance: Assmann et al. 2000, Lancet 355:1064; Wang et al. 2007, N Engl J Med 357:2189.
 */
export function subgroupHazardRatios(
  cells: Cells, design: Design, varying: readonly number[], subgroup: Int32Array, levels: readonly string[], options: SubgroupOptions = {},
): SubgroupHazardRatios | NotEstimable {
  subgroup.forEach((l, p) => { if (!(l >= 0 && l < levels.length)) throw new RangeError(`pattern ${p}: subgroup must be from 0 to ${levels.length - 1}: ${l}`); });
  const fit = cox(cells, interacting(design, varying, subgroup, levels), options), without = cox(cells, withLevels(design, subgroup, levels), options);
  if (fit.status !== 'ok') return fit;
  if (without.status !== 'ok') return without;
  const robust = options.robust ? robustCovariance(fit) : null;
  const covariance = robust?.status === 'ok' ? robust.covariance : fit.covariance;
  const first = fit.names.length - levels.length * varying.length, block = Array.from({ length: levels.length * varying.length }, (_, k) => first + k);
  const known = block.map((j) => !fit.notEstimable[j] && !block.some((k) => fit.notEstimable[k]?.cause === 'collinear' && fit.notEstimable[k].others.includes(j)));
  const ratios = hazardRatios(fit, { covariance, ...(options.confidence !== undefined && { confidence: options.confidence }) });
  const procedures = new Float64Array(subgroup.length), revised = new Float64Array(subgroup.length);
  for (let i = 0; i < design.pattern.length; ++i) {
    const p = design.pattern[i]!, n = cells.count[i]!;
    procedures[p]! += n;
    if (cells.event[i] === 1) revised[p]! += n;
  }
  const gained = Math.max(0, 2 * (fit.logLikelihood.fitted - without.logLikelihood.fitted)), rank = (of: CoxFit): number => of.maximum.scoreTest.df;
  return {
    status: 'ok',
    fit,
    robust,
    interaction: { wald: equalRatios(fit.coefficient, covariance, first, known, varying.length), likelihoodRatio: chiSquareTest(gained, rank(fit) - rank(without)) },
    subgroups: levels.map((level, l) => {
      const tally = (holds: (pattern: number) => boolean, event: boolean): number => {
        const of = event ? revised : procedures;
        return of.reduce((sum, n, p) => (subgroup[p] === l && holds(p) ? sum + n : sum), 0);
      };
      return {
        level,
        procedures: tally(() => true, false),
        events: tally(() => true, true),
        ratios: varying.map((column, v) => {
          const name = design.names[column]!, k = l * varying.length + v, ratio = ratios[first + k]!;
          if (ratio.status === 'ok' && known[k]) return { ...ratio, name };
          const reason = emptySide(design, varying, column, tally) ?? (ratio.status === 'ok' ? neverTogether : ratio.reason);
          return { status: 'notEstimable', name, reason };
        }),
      };
    }),
  };
}

/** A combination of columns that leaves one out binds the others to it: they would compare with something else than the reference. */
const neverTogether = 'no procedures of the reference group at risk in this subgroup when others were revised';

type Tally = (holds: (pattern: number) => boolean, event: boolean) => number;

/** Which side of a comparison of two levels is empty or has no event in the subgroup. */
function emptySide({ names, values }: Design, varying: readonly number[], column: number, tally: Tally): string | null {
  const own = (p: number): boolean => values[p * names.length + column] !== 0;
  const reference = (p: number): boolean => varying.every((j) => values[p * names.length + j] === 0);
  if (tally(own, false) === 0) return `no procedures with ${names[column]!} in this subgroup`;
  if (tally(reference, false) === 0) return 'no procedures of the reference group in this subgroup';
  if (tally(own, true) === 0) return `no revisions with ${names[column]!} in this subgroup`;
  if (tally(reference, true) === 0) return 'no revisions in the reference group in this subgroup';
  return null;
}

/** Wald test that a column's coefficients are equal over the levels that have them; they begin at column `first`, `width` a level. */
function equalRatios(coefficient: Float64Array, covariance: Float64Array, first: number, known: readonly boolean[], width: number): ChiSquareTest | NotEstimable {
  const columns = coefficient.length, pairs: { readonly one: number; readonly other: number }[] = [];
  for (let v = 0; v < width; ++v) {
    const own = Array.from(known.keys()).filter((k) => k % width === v && known[k]).map((k) => first + k);
    for (const one of own.slice(1)) pairs.push({ one, other: own[0]! });
  }
  if (pairs.length === 0) return { status: 'notEstimable', reason: 'no two subgroups have an estimate' };
  const at = (i: number, j: number): number => covariance[i * columns + j]!, order = pairs.length;
  const matrix = Float64Array.from({ length: order * order }, (_, k) => {
    const a = pairs[Math.floor(k / order)]!, b = pairs[k % order]!;
    return at(a.one, b.one) - at(a.one, b.other) - at(a.other, b.one) + at(a.other, b.other);
  });
  const factor = cholesky(matrix, order, relativeTolerance(matrix, order));
  return chiSquareTest(quadraticForm(factor, Float64Array.from(pairs, ({ one, other }) => coefficient[one]! - coefficient[other]!)), factor.rank);
}

interface Column { readonly name: string; readonly value: (pattern: number) => number }

const columnsOfLevels = (subgroup: Int32Array, levels: readonly string[]): Column[] =>
  levels.slice(1).map((name, l) => ({ name, value: (p) => (subgroup[p] === l + 1 ? 1 : 0) }));

/** Where the design has the levels already, Cox regression leaves these columns out. */
function withLevels(design: Design, subgroup: Int32Array, levels: readonly string[]): Design {
  const own = design.names.map((name, j) => ({ name, value: (p: number) => design.values[p * design.names.length + j]! }));
  return columnsOf(design, subgroup.length, [...own, ...columnsOfLevels(subgroup, levels)]);
}

/** The varying columns, each counting only in its own level, after all others: of columns bound to each other the last is left out. */
function interacting(design: Design, varying: readonly number[], subgroup: Int32Array, levels: readonly string[]): Design {
  const value = (p: number, j: number): number => design.values[p * design.names.length + j]!;
  const others = design.names.flatMap((name, j) => (varying.includes(j) ? [] : [{ name, value: (p: number) => value(p, j) }]));
  const apart = levels.flatMap((level, l) => varying.map((j) => (
    { name: `${design.names[j]!} (${level})`, value: (p: number) => (subgroup[p] === l ? value(p, j) : 0) }
  )));
  return columnsOf(design, subgroup.length, [...others, ...columnsOfLevels(subgroup, levels), ...apart]);
}

function columnsOf({ pattern }: Design, patterns: number, columns: readonly Column[]): Design {
  const width = columns.length;
  return { names: columns.map((c) => c.name), values: Float64Array.from({ length: patterns * width }, (_, k) => columns[k % width]!.value(Math.floor(k / width))), pattern };
}
