import { QueryError, quoteText } from '../database';
import { rowsTogether } from '../newColumn';
import { TextScanner, type TextScan, type TextShape } from './textScan';

const pieceBytes = 4 * 1024 * 1024; // read at once: between two pieces other work gets its turn
const blockBytes = 24 * 1024 * 1024; // of most files more than the rows that the engine keeps together

/** Well-formed records of a CSV file, without the header. */
export interface CsvBlock {
  readonly parts: readonly Uint8Array<ArrayBuffer>[]; // whole records one after the other, each with its line end but perhaps the last of the file
  readonly from: number; // the number of the first of them among all well-formed records, from 0
  readonly records: number;
  readonly fraction: number; // 0–1 of the file that is read by their end
  readonly lineEnd: TextScanner['lineEnd'];
  readonly padded: boolean; // some cell may begin or end with white space; if not, none does
}

/** Reads a CSV file once, in bounded memory, a block of records after the other. Throws a Refusal where its text can't be trusted. */
export async function* csvBlocks(content: Blob, shape: TextShape, signal: AbortSignal): AsyncGenerator<CsvBlock, TextScan> {
  const scanner = new TextScanner(shape);
  let parts: Uint8Array<ArrayBuffer>[] = [], bytes = 0, from = 0, at = 0;
  let rest = new Uint8Array(0); // of a record that has not yet ended: it is read again with what follows
  const block = (to: number, read: number): CsvBlock => {
    const made = { parts, from, records: to - from, fraction: Math.min(1, read / content.size), lineEnd: scanner.lineEnd, padded: scanner.padded };
    [parts, bytes, from] = [[], 0, to];
    return made;
  };
  while (at + rest.length < content.size) {
    const buffer = new Uint8Array(await content.slice(at, at + rest.length + pieceBytes).arrayBuffer());
    signal.throwIfAborted();
    scanner.take(buffer, rest.length);
    for (const stretch of scanner.stretches) {
      parts.push(buffer.subarray(stretch.start, stretch.end));
      bytes += stretch.end - stretch.start;
      if (stretch.accepted % rowsTogether === 0 || bytes >= blockBytes) yield block(stretch.accepted, at + stretch.end);
    }
    rest = buffer.subarray(scanner.recordStart);
    at += scanner.recordStart;
    scanner.forget();
  }
  const scan = scanner.finish(rest.length);
  if (scanner.stretches.length > 0) parts.push(rest);
  if (scanner.accepted > from) yield block(scanner.accepted, content.size);
  return scan;
}

/** The text of a block in one piece. */
export function bytesOf({ parts }: CsvBlock): Uint8Array<ArrayBuffer> {
  const whole = new Uint8Array(parts.reduce((sum, { length }) => sum + length, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}

/** SQL that reads the records of a block which the engine has as a file: columns c0, c1 … as text. What the engine would find out by itself is told. */
export function recordsOfBlock(path: string, { lineEnd }: CsvBlock, columns: number, delimiter = ','): string {
  const named = Array.from({ length: columns }, (_, i) => `'c${i}': 'VARCHAR'`).join(', ');
  return `read_csv(${quoteText(path)}, auto_detect = false, header = false, delim = ${quoteText(delimiter)}, quote = '"', escape = '"', comment = '', nullstr = '', new_line = '${lineEnd}', columns = {${named}})`;
}

/** Whether a query failed because the engine can't take the records apart. */
export const cannotRead = (error: unknown): boolean => error instanceof QueryError && /csv/i.test(error.message) && !/out of memory/i.test(error.message);
