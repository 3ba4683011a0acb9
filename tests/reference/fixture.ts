import type { Design } from '@/lib/stats/cells';
import { fixture } from '../stats/rows';

export { cellsOf, type Rows as Columns } from '../stats/rows';

/** The cases that `<topic>.R` recorded; their shape is what that script writes. */
export const casesOf = (topic: string): unknown => (fixture(topic) as { readonly cases: unknown }).cases;

/** One pattern per row. */
export function designOf(covariates: Readonly<Record<string, readonly number[]>>): Design {
  const names = Object.keys(covariates), columns = Object.values(covariates), rows = columns[0]?.length ?? 0;
  return {
    names,
    values: Float64Array.from({ length: rows * names.length }, (_, k) => columns[k % names.length]![Math.floor(k / names.length)]!),
    pattern: Int32Array.from({ length: rows }, (_, i) => i),
  };
}
