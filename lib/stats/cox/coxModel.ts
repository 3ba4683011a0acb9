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
  const { centre, scale } = standardise(x, columns, weight), eventX = new Float64Array(sets.time.length * columns);
  addThoseOfEvents(eventX, x, columns, sets.having, sets.last, patternOf, cells.count);
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

/** Centres and scales x, and says by what. */
function standardise(x: Float64Array, columns: number, weight: Float64Array): Pick<CoxModel, 'centre' | 'scale'> {
  const mean = new Float64Array(columns), squares = new Float64Array(columns), least = new Float64Array(columns).fill(Infinity), most = new Float64Array(columns).fill(-Infinity);
  const total = addMoments(x, weight, mean, squares, least, most), between = new Uint8Array(columns);
  findBetween(x, weight, least, most, between);
  const scale = squares.map((sum, j) => (!(least[j]! < most[j]!) ? 1 : between[j] === 1 ? Math.sqrt(sum / total) : most[j]! - least[j]!));
  rescale(x, mean, scale, Uint8Array.from(least, (v, j) => (v < most[j]! ? 1 : 0)));
  return { centre: mean, scale };
}

/** Means and sums of squared differences from them, updated from pattern to pattern; returns the sum of the weights. */
function addMoments(x: Float64Array, weight: Float64Array, mean: Float64Array, squares: Float64Array, least: Float64Array, most: Float64Array): number {
  let total = 0;
  for (let p = 0; p < weight.length; ++p) {
    const w = weight[p]!;
    if (w === 0) continue; // a pattern that no cell has
    total += w;
    const part = w / total;
    for (let j = 0, at = p * mean.length; j < mean.length; ++j, ++at) {
      const v = x[at]!, difference = v - mean[j]!;
      mean[j]! += difference * part;
      squares[j]! += w * difference * (v - mean[j]!);
      if (v < least[j]!) least[j] = v;
      if (v > most[j]!) most[j] = v;
    }
  }
  return total;
}

/** Which columns have a value between their least and their most. */
function findBetween(x: Float64Array, weight: Float64Array, least: Float64Array, most: Float64Array, between: Uint8Array): void {
  for (let p = 0; p < weight.length; ++p) {
    if (weight[p] === 0) continue;
    for (let j = 0, at = p * least.length; j < least.length; ++j, ++at) if (x[at]! > least[j]! && x[at]! < most[j]!) between[j] = 1;
  }
}

function rescale(x: Float64Array, mean: Float64Array, scale: Float64Array, varies: Uint8Array): void {
  for (let at = 0, j = 0; at < x.length; ++at, j = j + 1 === mean.length ? 0 : j + 1) x[at] = varies[j] === 1 ? (x[at]! - mean[j]!) / scale[j]! : 0;
}

function addThoseOfEvents(eventX: Float64Array, x: Float64Array, columns: number, having: Int32Array, last: Int32Array, pattern: Int32Array, count: Float64Array): void {
  for (let b = 0; b < having.length; ++b) {
    const i = having[b]!, n = count[i]!;
    for (let j = 0, to = last[i]! * columns, from = pattern[i]! * columns; j < columns; ++j) eventX[to + j]! += n * x[from + j]!;
  }
}
