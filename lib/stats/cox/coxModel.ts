import type { Cells, Design } from '../cells';
import { riskSets, type RiskSets } from '../riskSets';
import type { Lingering } from './lingering';

/** How events at equal times share a risk set. */
export type Ties = 'efron' | 'breslow';

/** What the likelihood needs, computed once: risk sets, and the covariates centred and scaled for numerical stability. */
export interface CoxModel {
  readonly cells: Cells;
  readonly design: Design;
  readonly ties: Ties;
  readonly sets: RiskSets;
  readonly columns: number;
  readonly patterns: number;
  /** (value − centre) / scale, patterns × columns. */
  readonly x: Float64Array;
  /** Mean over procedures. */
  readonly centre: Float64Array;
  /** The difference of the two values of a column that has two, else the standard deviation over procedures; 1 for a constant. */
  readonly scale: Float64Array;
  /** Σ x over the events of each set, sets × columns. */
  readonly eventX: Float64Array;
  /** Null: all leave the risk sets for good at their exit. */
  readonly lingering: Lingering | null;
}

/** Throws a RangeError where cells and design do not fit together or a covariate is not finite. */
export function coxModel(cells: Cells, design: Design, ties: Ties): CoxModel {
  const columns = design.names.length;
  const patterns = columns === 0 ? 1 : design.values.length / columns;
  checkDesign(cells, design, patterns);
  const sets = riskSets(cells), patternOf = columns === 0 ? new Int32Array(cells.exit.length) : design.pattern;
  const weight = weights(patternOf, cells.count, patterns), x = columns === 0 ? new Float64Array(0) : design.values.slice();
  const centre = new Float64Array(columns), scale = new Float64Array(columns).fill(1);
  for (let j = 0; j < columns; ++j) standardise(x, j, columns, weight, centre, scale);
  const eventX = new Float64Array(sets.time.length * columns);
  for (let b = 0; b < sets.having.length; ++b) {
    const i = sets.having[b]!, n = cells.count[i]!;
    for (let j = 0, to = sets.last[i]! * columns, from = patternOf[i]! * columns; j < columns; ++j) eventX[to + j]! += n * x[from + j]!;
  }
  return { cells, design: { ...design, pattern: patternOf }, ties, sets, columns, patterns, x, centre, scale, eventX, lingering: null };
}

function checkDesign(cells: Cells, { names, values, pattern }: Design, patterns: number): void {
  if (names.length === 0) return;
  if (!Number.isInteger(patterns)) throw new RangeError(`values must have ${names.length} columns in each row: ${values.length} values`);
  if (pattern.length !== cells.exit.length) throw new RangeError(`pattern must have one entry per cell (${cells.exit.length}): ${pattern.length}`);
  const bad = goodPatterns(pattern, patterns);
  if (bad < pattern.length) throw new RangeError(`cell ${bad}: pattern must be from 0 to ${patterns - 1}: ${pattern[bad]!}`);
  const k = finite(values);
  if (k < values.length) throw new RangeError(`pattern ${Math.floor(k / names.length)}: ${names[k % names.length]!} must be finite: ${values[k]!}`);
}

/** How many are good before the first that is not. */
function goodPatterns(pattern: Int32Array, patterns: number): number {
  let i = 0;
  while (i < pattern.length && pattern[i]! >= 0 && pattern[i]! < patterns) ++i;
  return i;
}

function finite(values: Float64Array): number {
  let k = 0;
  while (k < values.length && Number.isFinite(values[k])) ++k;
  return k;
}

/** Procedures of each pattern. */
function weights(pattern: Int32Array, count: Float64Array, patterns: number): Float64Array {
  const weight = new Float64Array(patterns);
  for (let i = 0; i < pattern.length; ++i) weight[pattern[i]!]! += count[i]!;
  return weight;
}

function standardise(x: Float64Array, j: number, columns: number, weight: Float64Array, centre: Float64Array, scale: Float64Array): void {
  let total = 0, mean = 0, squares = 0, least = Infinity, most = -Infinity;
  for (let p = 0; p < weight.length; ++p) {
    const w = weight[p]!, v = x[p * columns + j]!, difference = v - mean;
    if (w === 0) continue; // a pattern that no cell has
    total += w;
    mean += (difference * w) / total;
    squares += w * difference * (v - mean);
    if (v < least) least = v;
    if (v > most) most = v;
  }
  centre[j] = mean;
  if (least < most) scale[j] = hasBetween(x, j, columns, weight, least, most) ? Math.sqrt(squares / total) : most - least;
  const unit = scale[j]!, varies = least < most;
  for (let k = j; k < x.length; k += columns) x[k] = varies ? (x[k]! - mean) / unit : 0;
}

function hasBetween(x: Float64Array, j: number, columns: number, weight: Float64Array, least: number, most: number): boolean {
  for (let p = 0, k = j; p < weight.length; ++p, k += columns) if (weight[p]! > 0 && x[k]! > least && x[k]! < most) return true;
  return false;
}
