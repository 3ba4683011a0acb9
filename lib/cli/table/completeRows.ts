import type { Cells } from '../../stats/cells';
import type { Covariate, Study } from './study';

/** What an estimate needs besides follow-up: the rows in which any of it is missing are left out of that estimate. */
export interface Needs {
  readonly group?: boolean;
  readonly strata?: boolean;
  readonly cluster?: boolean;
  readonly covariates?: readonly Covariate[];
}

/** The rows complete for an estimate, ascending. */
export function completeRows(study: Study, needs: Needs): Int32Array {
  const numbers = [study.exit, study.event, study.count];
  if (study.entry !== null) numbers.push(study.entry);
  const codes: Int32Array[] = [];
  if (needs.group === true) codes.push(study.group.code);
  if (needs.strata === true) codes.push(...study.strata.map((factor) => factor.code));
  if (needs.cluster === true && study.cluster !== null) codes.push(study.cluster.code);
  for (const { values } of needs.covariates ?? []) {
    if (values instanceof Float64Array) numbers.push(values);
    else codes.push(values.code);
  }
  const rows = Int32Array.from({ length: study.rows }, (_, row) => row);
  return rows.filter((row) => numbers.every((column) => !Number.isNaN(column[row])) && codes.every((column) => column[row]! >= 0));
}

/** The follow-up of these rows, a cell each; strata and clusters where the estimate uses them. */
export function cellsOf(study: Study, rows: Int32Array, needs: Needs): Cells {
  const { entry, cluster } = study;
  return {
    exit: Float64Array.from(rows, (row) => study.exit[row]!),
    event: Uint8Array.from(rows, (row) => study.event[row]!),
    count: Float64Array.from(rows, (row) => study.count[row]!),
    ...(entry !== null && { entry: Float64Array.from(rows, (row) => entry[row]!) }),
    ...(needs.strata === true && study.strata.length > 0 && { stratum: combined(study, rows) }),
    ...(needs.cluster === true && cluster !== null && { cluster: Int32Array.from(rows, (row) => cluster.code[row]!) }),
  };
}

/** Several stratifying columns make a stratum of every combination that occurs. */
function combined({ strata }: Study, rows: Int32Array): Int32Array {
  const numbers = new Map<string, number>();
  return Int32Array.from(rows, (row) => {
    const key = strata.map((factor) => factor.code[row]).join(',');
    const number = numbers.get(key) ?? numbers.size;
    numbers.set(key, number);
    return number;
  });
}
