import { readFileSync } from 'node:fs';
import type { Cells, Design } from '@/lib/stats/cells';

/** Columns of procedures, or of cells where there are counts. */
export interface Columns {
  readonly exit: readonly number[];
  readonly event: readonly number[];
  readonly entry?: readonly number[];
  readonly count?: readonly number[];
  readonly stratum?: readonly number[];
  readonly cluster?: readonly number[];
}

/** The cases that `<topic>.R` recorded; their shape is what that script writes. */
export function casesOf(topic: string): unknown {
  const content = JSON.parse(readFileSync(new URL(`fixtures/${topic}.json`, import.meta.url), 'utf8')) as { readonly cases: unknown };
  return content.cases;
}

export const cellsOf = ({ exit, event, entry, count, stratum, cluster }: Columns): Cells => ({
  exit: Float64Array.from(exit),
  event: Uint8Array.from(event),
  count: count ? Float64Array.from(count) : new Float64Array(exit.length).fill(1),
  ...(entry && { entry: Float64Array.from(entry) }),
  ...(stratum && { stratum: Int32Array.from(stratum) }),
  ...(cluster && { cluster: Int32Array.from(cluster) }),
});

/** One pattern per row. */
export function designOf(covariates: Readonly<Record<string, readonly number[]>>): Design {
  const names = Object.keys(covariates), columns = Object.values(covariates), rows = columns[0]?.length ?? 0;
  return {
    names,
    values: Float64Array.from({ length: rows * names.length }, (_, k) => columns[k % names.length]![Math.floor(k / names.length)]!),
    pattern: Int32Array.from({ length: rows }, (_, i) => i),
  };
}
