import { InputError } from '../inputError';
import type { TableOptions } from '../arguments';
import { factorColumn, numberColumn, type Factor } from './columns';
import type { CsvTable } from './csvTable';

export interface Covariate {
  readonly name: string;
  /** A value per row, NaN where missing, or a level per row. */
  readonly values: Float64Array | Factor;
}

/** A follow-up series by column, one entry per row of the file; what is missing is NaN or −1. */
export interface Study {
  readonly rows: number;
  readonly exit: Float64Array;
  readonly event: Float64Array;
  readonly entry: Float64Array | null;
  readonly count: Float64Array;
  readonly group: Factor;
  readonly strata: readonly Factor[];
  readonly cluster: Factor | null;
  readonly covariates: readonly Covariate[];
}

export function studyOf(table: CsvTable, options: TableOptions): Study {
  const rows = table.rows.length;
  const exit = numberColumn(table, '--time', options.time, 'a number of at least 0', (t) => t >= 0);
  const entry = options.entry === undefined ? null : numberColumn(table, '--entry', options.entry, 'a number of at least 0', (t) => t >= 0);
  entry?.forEach((start, row) => {
    if (start >= exit[row]!) {
      throw new InputError(`${table.name} line ${table.lines[row]!}: --entry must be before --time (${exit[row]!}): ${start}`);
    }
  });
  const whole = (least: number, most: number) => (value: number) => Number.isInteger(value) && value >= least && value <= most;
  return {
    rows,
    exit,
    event: numberColumn(table, '--event', options.event, '0 (censored), 1 (the event of interest) or 2 to 255 (competing events)', whole(0, 255)),
    entry,
    count: options.count === undefined
      ? new Float64Array(rows).fill(1)
      : numberColumn(table, '--count', options.count, 'a whole number of at least 1', whole(1, Number.MAX_SAFE_INTEGER)),
    group: options.group === undefined ? { levels: ['all'], code: new Int32Array(rows) } : factorColumn(table, '--group', options.group),
    strata: options.strata.map((column) => factorColumn(table, '--strata', column)),
    cluster: options.cluster === undefined ? null : factorColumn(table, '--cluster', options.cluster),
    covariates: modelTerms(options).map((name) => ({
      name,
      values: isFactor(name, options)
        ? factorColumn(table, '--factors', name)
        : numberColumn(table, '--covariates', name, 'a number (name the column in --factors if it is none)'),
    })),
  };
}

/** The terms of the Cox model: the covariates and factors named, or else the group. */
function modelTerms({ covariates, factors, group }: TableOptions): readonly string[] {
  const named = [...new Set([...covariates, ...factors])];
  return named.length > 0 || group === undefined ? named : [group];
}

const isFactor = (name: string, { covariates, factors }: TableOptions): boolean => factors.includes(name) || !covariates.includes(name);
