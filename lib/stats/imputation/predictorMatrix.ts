import { isMissing, type Variable } from './variable';

/**
 * All variables and the outcome as columns: a factor's levels but the first as 0 or 1, measurements and hazards centred and divided by two
 * standard deviations, which makes them comparable to those (Gelman 2008, Stat Med 27:2865).
 */
export class PredictorMatrix {
  readonly #columns: number;
  readonly #values: Float64Array;
  readonly #first: readonly number[];
  readonly #scales: readonly { readonly centre: number; readonly unit: number }[];

  constructor(variables: readonly Variable[], outcome: readonly Float64Array[], count: Float64Array) {
    const widths = variables.map((v) => (v.kind === 'measured' ? 1 : v.levels - 1));
    this.#first = widths.map((_, v) => widths.slice(0, v).reduce((sum, w) => sum + w, 0));
    const own = widths.reduce((sum, w) => sum + w, 0);
    this.#columns = own + outcome.length;
    this.#values = new Float64Array(count.length * this.#columns);
    this.#scales = variables.map((v) => (v.kind === 'measured' ? scaleOf(v.value, count) : { centre: 0, unit: 1 }));
    outcome.forEach((column, j) => {
      const { centre, unit } = scaleOf(column, count);
      column.forEach((value, row) => { this.#values[row * this.#columns + own + j] = (value - centre) / unit; });
    });
    variables.forEach((v, which) => { for (let row = 0; row < count.length; ++row) if (!isMissing(v, row)) this.set(variables, which, row, v.value[row]!); });
  }

  set(variables: readonly Variable[], which: number, row: number, value: number): void {
    const variable = variables[which]!, at = row * this.#columns + this.#first[which]!, { centre, unit } = this.#scales[which]!;
    if (variable.kind === 'measured') this.#values[at] = (value - centre) / unit;
    else for (let level = 1; level < variable.levels; ++level) this.#values[at + level - 1] = value === level ? 1 : 0;
  }

  /** The columns of all but one variable, for some rows; with a column of ones before them if wanted. */
  without(variables: readonly Variable[], which: number, rows: Int32Array, intercept: boolean): { x: Float64Array; width: number } {
    const own = variables[which]!, from = this.#first[which]!, to = from + (own.kind === 'measured' ? 1 : own.levels - 1), columns = this.#columns;
    const lead = intercept ? 1 : 0, width = lead + columns - (to - from), x = new Float64Array(rows.length * width);
    for (let r = 0; r < rows.length; ++r) {
      const row = rows[r]! * columns, at = r * width;
      if (intercept) x[at] = 1;
      for (let j = 0; j < from; ++j) x[at + lead + j] = this.#values[row + j]!;
      for (let j = to; j < columns; ++j) x[at + lead + j - (to - from)] = this.#values[row + j]!;
    }
    return { x, width };
  }
}

/** Values 0 and 1 stay as they are. */
function scaleOf(values: Float64Array, count: Float64Array): { centre: number; unit: number } {
  if (values.every((v) => v === 0 || v === 1 || Number.isNaN(v))) return { centre: 0, unit: 1 };
  let total = 0, sum = 0, squares = 0;
  values.forEach((v, i) => {
    if (Number.isNaN(v)) return;
    total += count[i]!;
    sum += count[i]! * v;
  });
  const centre = sum / total;
  values.forEach((v, i) => { if (!Number.isNaN(v)) squares += count[i]! * (v - centre) ** 2; });
  return { centre, unit: squares > 0 ? 2 * Math.sqrt(squares / total) : 1 };
}
