import type { TextLayout } from '../../contract/mapping';
import { columnNames, describeColumn } from '../columns';
import { previewRows, type FoundSource } from '../inspection';
import { problem, Refusal } from '../refusal';
import type { UnpackedFile } from '../unpack';
import { csvRows } from './csvRows';
import { decoderOf } from './decode';
import { guessLayout } from './guessLayout';

const headBytes = 4 * 1024 ** 2;
const mostRows = 20_000;
const validatedBytes = 64 * 1024 ** 2;

/** Looks at the beginning of a text file. With a layout that the person has set, nothing about it is guessed. */
export async function inspectText(file: UnpackedFile, signal: AbortSignal, given: TextLayout | null = null): Promise<FoundSource> {
  const head = new Uint8Array(await file.content.slice(0, headBytes).arrayBuffer());
  const guess = given === null ? guessLayout(head, await isUtf8(file.content.slice(0, validatedBytes), signal)) : { layout: given, doubts: [] };
  if (guess === null) throw new Refusal([problem('not_a_table', 'the file holds zero bytes: it is no text', { file: file.name })]);
  const { layout } = guess, { size } = file.content;
  const complete = size <= headBytes;
  const text = decoderOf(layout.encoding).decode(head, !complete);
  const markup = markupOf(text);
  if (markup !== null) throw new Refusal([problem('not_a_table', markup, { file: file.name })]);
  const { from, line } = startOfLine(text, layout.headerLine);
  const [header, ...rows] = csvRows(text, layout.delimiter, { most: mostRows + 1, complete, from, line });
  if (header === undefined) throw new Refusal([problem('no_header', `there is no line ${layout.headerLine} with names of columns`, { file: file.name })]);
  const names = columnNames(header.cells);
  const described = names.map((name, i) => describeColumn(name, rows.map(({ cells }) => cells[i] ?? ''), layout.decimal));
  const irregular = rows.filter(({ cells }) => cells.length !== names.length);
  return {
    file: file.name, sheet: null, format: 'text', bytes: size, rows: rows.length,
    allRows: complete && rows.length < mostRows ? rows.length : null, layout,
    doubts: [
      ...guess.doubts, ...nameDoubts(header.cells, names), ...described.flatMap(({ doubts }) => doubts),
      ...(irregular.length === 0 ? [] : [`${irregular.length.toLocaleString('en')} of the records looked at have more or fewer cells than there are names of columns; the first is on line ${irregular[0]?.line.toLocaleString('en') ?? ''}. They will be set aside.`]),
    ],
    columns: described.map(({ column }) => column),
    preview: rows.slice(0, previewRows).map(({ cells }) => names.map((_, i) => cells[i] ?? '')),
  };
}

export const nameDoubts = (header: readonly string[], names: readonly string[]): string[] => {
  const unnamed = header.filter((cell) => cell.trim() === '').length, renamed = names.filter((name, i) => name !== header[i]?.trim() && header[i]?.trim() !== '');
  return [
    ...(unnamed === 0 ? [] : [`${unnamed === 1 ? 'A column has' : `${unnamed} columns have`} no name and ${unnamed === 1 ? 'is' : 'are'} named by ${unnamed === 1 ? 'its' : 'their'} place.`]),
    ...(renamed.length === 0 ? [] : [`Names that stand more than once are numbered: ${renamed.slice(0, 5).join(', ')}.`]),
  ];
};

/** Where a line begins in the text; lines end in LF, CRLF or CR. */
function startOfLine(text: string, wanted: number): { from: number; line: number } {
  let from = 0, line = 1;
  const end = /\r\n|\n|\r/g;
  while (line < wanted) {
    const match = end.exec(text);
    if (match === null) return { from: text.length, line };
    from = end.lastIndex;
    line++;
  }
  return { from, line };
}

async function isUtf8(content: Blob, signal: AbortSignal): Promise<boolean> {
  const decoder = new TextDecoder('utf-8', { fatal: true });
  try {
    for (let from = 0; from < content.size; from += headBytes) {
      decoder.decode(await content.slice(from, from + headBytes).arrayBuffer(), { stream: true });
      signal.throwIfAborted();
    }
    return true;
  } catch {
    signal.throwIfAborted();
    return false;
  }
}

function markupOf(text: string): string | null {
  const start = text.slice(0, 200).trimStart().toLowerCase();
  if (/^<(!doctype|html|\?xml|!--|head|body|table)/.test(start)) return 'this is a web page or XML, not a table of text';
  return /^[{[]/.test(start) ? 'this is JSON, not a table of text' : null;
}
