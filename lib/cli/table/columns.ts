import { InputError, shown } from '../inputError';
import type { CsvTable } from './csvTable';

// Readers of one column: a value per row, missing where the cell is empty.

function cells(table: CsvTable, option: string, column: string): readonly string[] {
  const index = table.columns.indexOf(column);
  if (index < 0) throw new InputError(`${table.name}: no column ${shown(column)} for ${option}; it has ${table.columns.join(', ')}`);
  return table.rows.map((row) => row[index]!);
}

/** One finite number per row, NaN where the cell is empty; `rule` says in words what `holds` asks for. */
export function numberColumn(
  table: CsvTable, option: string, column: string, rule = 'a number', holds: (value: number) => boolean = () => true,
): Float64Array {
  return Float64Array.from(cells(table, option, column), (cell, row) => {
    if (cell === '') return NaN;
    const value = /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(cell) ? Number(cell) : NaN;
    if (!Number.isFinite(value) || !holds(value)) {
      throw new InputError(`${table.name} line ${table.lines[row]!}, ${shown(column)} (${option}): must be ${rule} or empty: ${shown(cell)}`);
    }
    return value;
  });
}

/** Levels of a categorical column in sort order, and the number of each row's level; -1 where the cell is empty. */
export interface Factor {
  readonly levels: readonly string[];
  readonly code: Int32Array;
}

/** Levels that are all numbers are sorted as numbers, others by character code. */
export function factorColumn(table: CsvTable, option: string, column: string): Factor {
  const values = cells(table, option, column);
  const distinct = [...new Set(values)].filter((value) => value !== '');
  const numeric = distinct.every((value) => Number.isFinite(Number(value)));
  const levels = numeric ? distinct.sort((a, b) => Number(a) - Number(b)) : distinct.sort();
  const codeOf = new Map(levels.map((level, code) => [level, code]));
  return { levels, code: Int32Array.from(values, (value) => codeOf.get(value) ?? -1) };
}
