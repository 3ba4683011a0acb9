import type { RandomStream } from '../../../sample-registry/random';
import type { TableName } from '../../../lib/contract/tables';
import type { Cell, Grid, Grids } from './seedExtract';

export interface GridMutation {
  readonly change: (grids: Grids, random: RandomStream) => Grids;
  /** Keys of persons come to stand in columns that are said to hold none, whose values reports show. */
  readonly movesKeys?: true;
}

const sizes = (grids: Grids): TableName[] => [...grids.keys()].filter((table) => grids.get(table)!.rows.length > 0);
/** Changes one table, most often that of the procedures. */
const oneTable = (change: (grid: Grid, random: RandomStream) => Grid): GridMutation['change'] => (grids, random) => {
  const table = random.chance(0.4) ? 'procedures' : random.one(sizes(grids));
  return new Map([...grids, [table, change(grids.get(table)!, random)]]);
};
/** Puts other values into some cells, all over the table or in one column. */
const someCells = (value: (cell: Cell, random: RandomStream) => Cell): GridMutation => ({
  change: oneTable(({ header, rows }, random) => {
    const column = random.chance(0.5) ? random.integer(header.length) : -1, share = 2 ** (-7 * random.uniform());
    return { header, rows: rows.map((cells) => cells.map((cell, i) => ((column < 0 || i === column) && random.chance(share) ? value(cell, random) : cell))) };
  }),
});
const oneOf = (...values: readonly Cell[]): GridMutation => someCells((_, random) => random.one(values));

const shuffled = <T>(items: readonly T[], random: RandomStream): T[] => {
  const result = [...items];
  for (let i = result.length - 1; i > 0; i--) {
    const j = random.integer(i + 1);
    [result[i], result[j]] = [result[j]!, result[i]!];
  }
  return result;
};
const columnsInOrder = ({ header, rows }: Grid, order: readonly number[]): Grid => ({
  header: order.map((i) => header[i]!), rows: rows.map((cells) => order.map((i) => cells[i] ?? null)),
});
const places = ({ header }: Grid): number[] => header.map((_, i) => i);

export const gridMutations: Readonly<Record<string, GridMutation>> = {
  'empty cells': oneOf(null, '', ' ', '""'),
  'words for nothing': oneOf('NA', 'NULL', 'null', 'n/a', '-', '.', 'unknown', 'NaN', '#N/A', '9999', '-1'),
  'values of another type': oneOf('true', 3.5, -7, '1e3', 'abc', '0x1F', '1,5', '12 years', '+4', '1_000', '٣', '１２', 'Infinity', '1e400', '-0', '00012'),
  'formulas': oneOf('=1+1', '+1+1', '-1+1', '@SUM(A1)', '=HYPERLINK("http://x.invalid","x")', '=cmd|\' /C calc\'!A0', '\t=1'),
  'markup': oneOf('<b>x</b>', '<script>alert(1)</script>', '"><img src=x onerror=alert(1)>', '&lt;', '<!--', ']]>', '{{7*7}}', '${7*7}'),
  'words of a query': oneOf('\'; DROP TABLE procedures; --', '" OR 1=1', '\\', '\\N', '%', '_', '?', '$1', 'NULL::DATE', '\'\'', '/*', 'read_csv(\'/etc/passwd\')'),
  'letters of all kinds': oneOf('\u202Eabc', 'שלום', 'مرحبا', '\u200B', '\uFEFF', 'e\u0301', '👩‍⚕️', '\u0000', '\u0007', '\u2028', '\uFFFD', 'ﬁ', 'İ', 'ß', '\u00A0', '日本', '\u{10FFFF}'),
  'long values': someCells((cell, random) => String(cell ?? 'x').repeat(1 + Math.floor(2 ** (12 * random.uniform()))).slice(0, 2 ** 22)), // as one cell can be made longer several times
  'days of all kinds': oneOf(
    '2010-02-30', '2011-02-29', '2012-02-29', '31.12.2010', '12/31/2010', '2010-1-1', '2010/01/01', '20100101', '2010-01-01T00:00:00', '2010-01-01 ', ' 2010-01-01',
    '0000-00-00', '9999-12-31', '1900-01-01', '1899-12-31', '2100-12-31', '2101-01-01', '40179', 'infinity', '-infinity', 'epoch', 'today', '1 Jan 2010', '2010-W01-1', '+2010-01-01', '2010-01-01 (BC)',
  ),
  'quotes, commas and line ends in cells': oneOf('a,b', 'a"b', '"', '""', 'a\nb', '\n', 'a\r\nb', ',,,', '"\n"', '\'', '`'),
  'codes in other letters': someCells((cell, random) => (cell === null ? null : random.one([String(cell).toUpperCase(), ` ${cell}`, `${cell} `, `${cell};${cell}`, `${cell};`, `;${cell}`]))),
  'values of a neighbouring row': { change: oneTable(({ header, rows }, random) => {
    const column = random.integer(header.length), by = 1 + random.integer(Math.max(1, rows.length - 1));
    return { header, rows: rows.map((cells, row) => cells.map((cell, i) => (i === column ? rows[(row + by) % rows.length]?.[i] ?? null : cell))) };
  }) },
  'columns left out': { change: oneTable((grid, random) => columnsInOrder(grid, places(grid).filter(() => !random.chance(0.12)))) },
  'columns doubled': { change: oneTable((grid, random) => columnsInOrder(grid, places(grid).flatMap((i) => (random.chance(0.1) ? [i, i] : [i])))) },
  'columns in another order': { change: oneTable((grid, random) => columnsInOrder(grid, shuffled(places(grid), random))) },
  'columns renamed': { movesKeys: true, change: oneTable(({ header, rows }, random) => ({
    header: header.map((name) => (random.chance(0.15) ? random.one([name.toUpperCase(), `${name} `, 'x', '', '\u0000', `"${name}"`, random.one(header)]) : name)), rows,
  })) },
  'names of columns shuffled': { movesKeys: true, change: oneTable(({ header, rows }, random) => ({ header: shuffled(header, random), rows })) },
  'columns of its own': { change: oneTable(({ header, rows }, random) => {
    const own = Array.from({ length: 1 + random.integer(40) }, (_, i) => random.one(['', 'note', `own ${i}`, '<b>', 'record', 'failed', 'cells', '"', 'v_sex', 'p_sex']));
    return { header: [...header, ...own], rows: rows.map((cells) => [...cells, ...own.map(() => random.one([null, 'x', '=1', 7]))]) };
  }) },
  'rows too long or too short': { change: oneTable(({ header, rows }, random) => ({
    header, rows: rows.map((cells) => (random.chance(0.2) ? random.one([cells.slice(0, -1), [...cells, null], [...cells, 'x'], [], cells.slice(0, 1)]) : cells)),
  })) },
  'header left out': { change: oneTable(({ header, rows }) => ({ header: (rows[0] ?? header).map(String), rows: rows.slice(1) })) },
  'header in the middle': { change: oneTable(({ header, rows }, random) => { const at = random.integer(rows.length + 1); return { header, rows: [...rows.slice(0, at), header, ...rows.slice(at)] }; }) },
  'rows shuffled': { change: oneTable(({ header, rows }, random) => ({ header, rows: shuffled(rows, random) })) },
  'rows doubled': { change: oneTable(({ header, rows }, random) => ({ header, rows: shuffled(rows.flatMap((cells) => (random.chance(0.2) ? [cells, cells] : [cells])), random) })) },
  'rows left out': { change: oneTable(({ header, rows }, random) => { const share = random.uniform(); return { header, rows: rows.filter(() => random.chance(share)) }; }) },
  'no rows': { change: oneTable(({ header }) => ({ header, rows: [] })) },
  'tables swapped': { movesKeys: true, change: (grids, random) => {
    const [a, b] = [random.one([...grids.keys()]), random.one([...grids.keys()])];
    return new Map([...grids, [a, grids.get(b)!], [b, grids.get(a)!]]);
  } },
  'tables left out': { change: (grids, random) => new Map([...grids].filter(() => !random.chance(0.2))) },
};
