import { delimiters, type TextLayout } from '../../contract/mapping';
import { ordersOf } from '../dates';
import { csvRows, type CsvRow } from './csvRows';
import { decoderOf } from './decode';

export interface GuessedLayout {
  readonly layout: TextLayout;
  readonly doubts: readonly string[];
}

const rowsTried = 200;
const delimiterNames: Record<TextLayout['delimiter'], string> = { ',': 'commas', ';': 'semicolons', '\t': 'tabs', '|': 'vertical bars' };

/**
 * How the beginning of a text file seems to be laid out. Null where it is no text.
 * @param validUtf8 whether all that was looked at, perhaps more than `head`, is UTF-8
 */
export function guessLayout(head: Uint8Array<ArrayBuffer>, validUtf8: boolean): GuessedLayout | null {
  const encoding = guessEncoding(head, validUtf8);
  if (encoding === null) return null;
  const text = decoderOf(encoding.is).decode(head, true);
  const told = /^sep=([,;|\t])\r?\n/.exec(text)?.[1] as TextLayout['delimiter'] | undefined; // what spreadsheets write for each other
  const tried = delimiters.map((delimiter) => ({ delimiter, ...shapeOf(csvRows(text, delimiter, { most: rowsTried })) }));
  const best = tried.reduce((a, b) => (b.score > a.score ? b : a));
  const { delimiter, rows, cells } = tried.find((each) => each.delimiter === told) ?? best;
  const doubts = [...encoding.doubts];
  if (cells < 2) doubts.push('Only one column was found: check what separates the cells.');
  else if (tried.some((each) => each.delimiter !== delimiter && each.score > 0.9 * best.score)) doubts.push(`Cells seem to be separated by ${delimiterNames[delimiter]}; another mark is nearly as regular.`);
  const header = rows.find((row) => row.cells.length === cells && row.cells.filter((cell) => cell.trim() !== '').length * 2 > cells);
  const headerLine = Math.min(header?.line ?? 1, 1000);
  if (headerLine > 1) doubts.push(`The names of the columns are taken from line ${headerLine}; what stands above is not read.`);
  if (header?.cells.some(looksLikeValue) === true) doubts.push(`Line ${headerLine} looks like a record and not like names of columns. It is not read as a record: if the file has no names of columns, write them above it.`);
  const decimal = guessDecimal(rows.filter(({ line }) => line > headerLine).flatMap((row) => row.cells));
  return { layout: { encoding: encoding.is, delimiter, decimal: decimal.is, headerLine }, doubts: [...doubts, ...decimal.doubts] };
}

function guessEncoding(head: Uint8Array<ArrayBuffer>, validUtf8: boolean): { is: TextLayout['encoding']; doubts: readonly string[] } | null {
  if (head[0] === 0xff && head[1] === 0xfe) return { is: 'utf-16le', doubts: [] };
  if (head[0] === 0xfe && head[1] === 0xff) return { is: 'utf-16be', doubts: [] };
  const zeros = [0, 0];
  for (let i = 0; i < Math.min(head.length, 4096); i++) if (head[i] === 0) zeros[i % 2]!++;
  const [even = 0, odd = 0] = zeros, half = Math.min(head.length, 4096) / 2;
  if (even + odd > 0) {
    const is = odd > 0.4 * half && even < 0.1 * half ? 'utf-16le' : even > 0.4 * half && odd < 0.1 * half ? 'utf-16be' : null;
    return is === null ? null : { is, doubts: ['The text seems to be UTF-16, but does not say so with a byte order mark: check the preview.'] };
  }
  if (validUtf8) return { is: 'utf-8', doubts: [] };
  return { is: 'windows-1252', doubts: ['The text is not UTF-8. It is read as Windows-1252 (Western European, Latin-1): check that letters with accents look right in the preview.'] };
}

/** The usual number of cells and how regular it is: 0 where there is one cell a line, else up to the number of cells. */
function shapeOf(rows: readonly CsvRow[]): { rows: readonly CsvRow[]; cells: number; score: number } {
  const counts = new Map<number, number>();
  for (const { cells } of rows) counts.set(cells.length, (counts.get(cells.length) ?? 0) + 1);
  const [cells, times] = [...counts].reduce((a, b) => (b[1] > a[1] || (b[1] === a[1] && b[0] > a[0]) ? b : a), [1, 0]);
  return { rows, cells, score: cells < 2 ? 0 : (times / rows.length) ** 2 * Math.min(cells, 8) };
}

const looksLikeValue = (cell: string): boolean => /^-?\d+([.,]\d+)?$/.test(cell.trim()) || ordersOf(cell.trim()).length > 0;

function guessDecimal(cells: readonly string[]): { is: TextLayout['decimal']; doubts: readonly string[] } {
  const points = cells.filter((cell) => /^\s*-?\d+\.\d+\s*$/.test(cell)), commas = cells.filter((cell) => /^\s*-?\d+,\d+\s*$/.test(cell));
  const is = commas.length > points.length ? ',' : '.';
  const found = is === ',' ? commas : points;
  if (commas.length > 0 && points.length > 0) return { is, doubts: ['Some numbers have a decimal comma and others a point: check which of them stands for the decimals.'] };
  return found.length > 0 && found.every((cell) => /[.,]\d{3}\s*$/.test(cell))
    ? { is, doubts: [`Numbers such as ${found[0]?.trim() ?? ''} could be thousands: check what the mark in them stands for.`] } : { is, doubts: [] };
}
