import { formatCount } from './format';
import type { Cell, ProtectedTable, ReportTable, Row } from './table';

/** Counts of people from 1 up to one below this do not leave the page. */
export const smallestCount = 5;

export const isSmall = (count: number): boolean => count > 0 && count < smallestCount;
/** Stands for what is not a count. */
export const withheld = 'withheld';

/** Which counts of a known total must stay inside: small ones and, where there is one only, the next smallest with it. */
export function withheldOf(counts: readonly number[]): readonly boolean[] {
  const small = counts.map(isSmall);
  if (small.filter(Boolean).length !== 1) return small;
  const next = Math.min(...counts.filter((n, i) => n > 0 && !small[i]));
  const companion = counts.findIndex((n, i) => n === next && !small[i]);
  return small.map((hidden, i) => hidden || i === companion);
}

/** A count inside words that may leave the page. */
export const guardedCount = (count: number): string => (isSmall(count) ? `fewer than ${smallestCount}` : formatCount(count));

/** Words made elsewhere, with the small counts of people that they name left out: `among the 3 procedures`, `(n = 3)`, `(3 for 5)`. */
export const withoutSmallCounts = (words: string): string =>
  words.replace(/(?<![\d.,–-])[1-4](?= (?:procedure|revision|death|patient|for \d))|(?<=n = )[1-4](?!\d)/g, `fewer than ${smallestCount}`);

const isHidden = ({ basis }: Cell) => basis?.some(isSmall) === true;
const isCount = ({ value, basis }: Cell) => value !== undefined && basis?.[0] === value;

const blocksOf = (rows: readonly Row[]): readonly (readonly Row[])[] =>
  [...new Set(rows.map(({ block }) => block))].map((block) => rows.filter((row) => row.block === block));

/**
 * Where one count of a block is hidden in a column, the total would give it away: the next smallest is hidden with it.
 * Returns the columns to hide in each such row.
 */
function companions({ columns, rows }: ReportTable): Map<Row, Set<number>> {
  const found = new Map<Row, Set<number>>();
  for (const block of blocksOf(rows)) {
    columns.forEach(({ group }, c) => {
      const counted = block.flatMap((row) => (row.cells[c] && isCount(row.cells[c]) ? [{ row, cell: row.cells[c], count: row.cells[c].value ?? 0 }] : []));
      if (counted.filter(({ cell }) => isHidden(cell)).length !== 1) return;
      const next = counted.filter(({ cell, count }) => count > 0 && !isHidden(cell)).sort((a, b) => a.count - b.count)[0];
      if (next === undefined) return;
      const hidden = found.get(next.row) ?? new Set();
      columns.forEach((column, other) => column.group === group && hidden.add(other));
      found.set(next.row, hidden);
    });
  }
  return found;
}

/** Says of each cell that holds a small count, or could be computed back to one, what stands in its place outside the page. */
export function protectSmallCounts(table: ReportTable): ProtectedTable {
  const alsoHidden = table.blocksAddUp ? companions(table) : new Map<Row, Set<number>>();
  const protect = (row: Row) => (cell: Cell, c: number): Cell => {
    if (isHidden(cell)) return { ...cell, outside: isCount(cell) && isSmall(cell.value ?? 0) ? `<${smallestCount}` : withheld };
    const isNumber = cell.value !== undefined || cell.basis !== undefined; // a label gives nobody away
    return isNumber && alsoHidden.get(row)?.has(c) === true ? { ...cell, outside: withheld } : cell;
  };
  return { ...table, protected: true, rows: table.rows.map((row) => ({ ...row, cells: row.cells.map(protect(row)) })) };
}
