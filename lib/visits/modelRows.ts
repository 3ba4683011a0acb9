import type { AskedVisits } from './askedVisits';
import { comparedGroups } from './askedVisits';

/** Rows of a model: the columns of the groups against the reference first, in the order of `comparedGroups`, then the covariates, then the further columns. */
export interface ModelRows {
  readonly names: readonly string[];
  readonly values: Float64Array;
  readonly cluster: Int32Array;
  readonly kept: Int32Array; // of the rows given, those with every covariate recorded
  readonly ofReference: number; // of them
}

export const noReference = 'nobody of the reference group was assessed with every covariate recorded';

export interface FurtherColumn { readonly name: string; readonly valueOf: (row: number) => number }

/** `procedure`: of each row; `withGroups`: false where the further columns tell the groups apart. Rows without one of the covariates are left out. */
export function modelRows(asked: AskedVisits, procedure: Int32Array, further: readonly FurtherColumn[] = [], withGroups = true): ModelRows {
  const { data: { procedures }, adjustments } = asked;
  const kept = Int32Array.from(procedure.keys()).filter((row) => procedures.covariates.every((codes) => codes[procedure[row]!]! >= 0));
  const groupColumns = !withGroups ? [] : comparedGroups(asked).map(({ label, index }): FurtherColumn => ({ name: label, valueOf: (row) => Number(procedures.group[procedure[row]!] === index) }));
  const covariateColumns = adjustments.flatMap(({ coding }, k): FurtherColumn[] => {
    const codes = procedures.covariates[k]!, { value } = coding;
    if (value !== undefined) return [{ name: coding.label, valueOf: (row) => value(codes[procedure[row]!]!) }];
    const counts = new Map<number, number>();
    for (const row of kept) counts.set(codes[procedure[row]!]!, (counts.get(codes[procedure[row]!]!) ?? 0) + 1);
    const levels = [...counts].sort(([a, n], [b, m]) => m - n || a - b).slice(1).map(([code]) => code).sort((a, b) => a - b); // against the commonest
    return levels.map((code) => ({ name: coding.level(code).label, valueOf: (row) => Number(codes[procedure[row]!] === code) }));
  });
  const columns = [...groupColumns, ...covariateColumns, ...further], width = columns.length;
  const values = new Float64Array(kept.length * width);
  kept.forEach((row, i) => { columns.forEach((c, j) => { values[i * width + j] = c.valueOf(row); }); });
  return {
    names: columns.map((c) => c.name), values, kept,
    cluster: Int32Array.from(kept, (row) => procedures.cluster[procedure[row]!]!),
    ofReference: kept.reduce((sum, row) => sum + Number(procedures.group[procedure[row]!] === asked.reference), 0),
  };
}

export const adjustedLabels = ({ adjustments }: AskedVisits): readonly string[] => adjustments.map(({ coding }) => coding.label);

export const leftOutNote = (left: number, what: string): readonly string[] => (left === 0 ? [] : [`${left} ${what} without one of the covariates ${left === 1 ? 'is' : 'are'} not in the model.`]);
