import { isSmallCount, type CountTable, type Sum } from '../disclosure/countTable';
import { policyInForce, type Policy } from '../disclosure/policy';
import { coarsened, roundedCount } from '../disclosure/rounding';
import { suppress } from '../disclosure/suppression';
import { formatCount } from './format';
import type { Cell, Place, ProtectedTable, ReportTable } from './table';

/** Stands for what is not a count, and for every hidden count of those that add up: which of them is small must not be seen. */
export const withheld = 'withheld';

const isSmall = (count: number): boolean => isSmallCount(count, policyInForce().smallest);
const isCount = ({ value, basis }: Cell): boolean => value !== undefined && Number.isFinite(value) && basis?.[0] === value;
const keyOf = ([row, column]: Place): string => `${row} ${column}`;

/** The counts of a table with all that they are known to sum to. `at`: the position of each place among the counts. */
export interface TableCounts { readonly table: CountTable; readonly at: ReadonlyMap<string, number> }

export function countsOf({ rows, columns, blocksAddUp, relations = [] }: ReportTable): TableCounts {
  const counts: number[] = [], sums: Sum[] = [], at = new Map<string, number>(), untold = new Set<number>(), fixed = new Set<number>();
  rows.forEach(({ cells }, r) => { cells.forEach((cell, c) => {
    if (!isCount(cell)) return;
    if (cell.toldElsewhere === true) fixed.add(counts.length);
    at.set(keyOf([r, c]), counts.push(cell.value ?? 0) - 1);
  }); });
  const positions = (places: readonly Place[]) => places.flatMap((place) => at.get(keyOf(place)) ?? []);
  if (blocksAddUp === true) {
    for (const block of new Set(rows.map((row) => row.block))) {
      const inBlock = [...rows.keys()].filter((r) => rows[r]?.block === block);
      columns.forEach((_, c) => {
        const plus = positions(inBlock.map((r) => [r, c])), total = plus.reduce((sum, one) => sum + counts[one]!, 0);
        if (plus.length > 0 && !isSmall(total)) sums.push({ plus, minus: [], total }); // a small total is told nowhere
      });
    }
  }
  for (const { whole, parts, rest } of relations) {
    const minus = positions(parts), untoldPart: number[] = [];
    if (minus.length < parts.length) continue; // some part is no count here
    if (rest !== undefined) { untoldPart.push(counts.push(rest) - 1); untold.add(counts.length - 1); }
    if (typeof whole === 'number') { if (!isSmall(whole)) sums.push({ plus: [...minus, ...untoldPart], minus: [], total: whole }); } else {
      const plus = positions([whole]);
      if (plus.length > 0) sums.push({ plus, minus: [...minus, ...untoldPart], total: 0 });
    }
  }
  const holds = ({ plus, minus, total }: Sum) => plus.reduce((sum, one) => sum + counts[one]!, 0) - minus.reduce((sum, one) => sum + counts[one]!, 0) === total;
  return { table: { counts, sums: sums.filter(holds), untold, fixed }, at }; // parts that overlap make no sum
}

/** Says of each cell that holds a small count, or could be computed back to one, what stands in its place outside the page; the rest rounded, if the policy says so. */
export function protectSmallCounts(table: ReportTable): ProtectedTable {
  const policy = policyInForce(), { table: counts, at } = countsOf(table);
  const { hidden, givenAway } = suppress(counts, policy.smallest);
  const summed = new Set(counts.sums.flatMap(({ plus, minus }) => [...plus, ...minus]));
  const alsoHidden = givenAway.length === 0 ? new Set<number>() : summed; // nothing less would help
  const isHidden = (place: Place): boolean => { const position = at.get(keyOf(place)); return position !== undefined && (hidden.has(position) || alsoHidden.has(position)); };

  /** The cell could be computed from, or back to, a hidden count of its row. */
  const tells = (cell: Cell, r: number, c: number): boolean => {
    const own = table.columns[c]?.group;
    return cell.reveals?.some(isHidden) === true || (cell.basis !== undefined && (table.rows[r]?.cells ?? []).some(({ value }, other) => {
      const group = table.columns[other]?.group;
      return (own === undefined || group === undefined || own === group) && value !== undefined && isHidden([r, other]) && cell.basis?.includes(value) === true;
    }));
  };
  const outsideOf = (cell: Cell, r: number, c: number): Partial<Cell> => {
    const position = at.get(keyOf([r, c])), small = cell.basis?.some(isSmall) === true;
    if (position !== undefined && isHidden([r, c])) return { outside: summed.has(position) || !isSmall(cell.value ?? 0) ? withheld : `<${policy.smallest}` };
    if (small || tells(cell, r, c)) return { outside: withheld };
    return cell.outside === undefined ? rounded(cell, policy) : {};
  };
  const { name, title, method, columns, blocksAddUp } = table;
  return {
    name, title, method, columns, ...(blocksAddUp !== undefined && { blocksAddUp }), protected: true, policy,
    rows: table.rows.map((row, r) => ({ ...row, cells: row.cells.map((cell, c) => ({ ...shown(cell), ...outsideOf(cell, r, c) })) })),
  };
}

/** Positions of the rows of which some count of people does not leave, for a drawing of the same. */
export const hiddenRows = ({ rows }: ProtectedTable): ReadonlySet<number> =>
  new Set([...rows.keys()].filter((r) => rows[r]!.cells.some((cell) => isCount(cell) && cell.outside !== undefined && cell.outsideValue === undefined)));

/** A cell without what only its protection needs to know. */
function shown(cell: Cell): Cell {
  const kept: { -readonly [K in keyof Cell]: Cell[K] } = { ...cell };
  delete kept.toldElsewhere;
  delete kept.reveals;
  return kept;
}

const upToFour = new Intl.NumberFormat('en-GB', { maximumSignificantDigits: 4 });

function rounded(cell: Cell, { rounding }: Policy): Partial<Cell> {
  const { value, basis } = cell;
  if (rounding === 1 || value === undefined || basis === undefined || basis.length === 0 || !Number.isFinite(value)) return {};
  const outsideValue = isCount(cell) ? roundedCount(value, rounding) : coarsened(value, basis, rounding);
  return { outsideValue, outside: isCount(cell) ? formatCount(outsideValue) : upToFour.format(outsideValue) };
}
