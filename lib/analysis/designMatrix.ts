import type { Design } from '../stats/cells';

/** A column of the design: a continuous covariate, or one level of a factor against its reference. */
export interface Column {
  /** Null for a continuous covariate. */
  readonly level: string | null;
  /** As reasons and cautions name it. */
  readonly name: string;
  readonly valueOf: (pattern: number) => number;
}

/** A covariate of a model with its columns, several for a factor of several levels. */
export interface Term {
  readonly term: string;
  readonly columns: readonly Column[];
}

export interface FactorLevel {
  readonly code: number;
  readonly level: string;
  readonly name: string;
}

export const continuousTerm = (term: string, name: string, valueOf: (pattern: number) => number): Term =>
  ({ term, columns: [{ level: null, name, valueOf }] });

/** Reference coding: 1 in the column of the pattern's own level, 0 in all others, 0 throughout for the reference. `code` is per pattern. */
export const factorTerm = (term: string, code: Int32Array, levels: readonly FactorLevel[], reference: number): Term => ({
  term,
  columns: levels.filter((l) => l.code !== reference)
    .map(({ code: own, level, name }) => ({ level, name, valueOf: (pattern) => (code[pattern] === own ? 1 : 0) })),
});

/** The design of the terms in their order; `pattern` is per cell, from 0 to `patterns` − 1. */
export function designMatrix(terms: readonly Term[], pattern: Int32Array, patterns: number): Design {
  const columns = terms.flatMap((term) => term.columns);
  const values = new Float64Array(patterns * columns.length);
  for (let p = 0; p < patterns; ++p) columns.forEach((column, j) => { values[p * columns.length + j] = column.valueOf(p); });
  return { names: columns.map((column) => column.name), values, pattern };
}
