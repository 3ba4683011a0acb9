import { QueryError, quoteText } from '../database';
import { TextScanner, type TextScan, type TextShape } from './textScan';

const pieceBytes = 4 * 1024 * 1024; // read at once: between two pieces other work gets its turn
const blockBytes = 12 * 1024 * 1024; // of most files fewer rows than the engine keeps together, see readParquet.ts

/** Well-formed records of a CSV file, without the header, as bytes. */
export interface CsvBlock {
  readonly bytes: Uint8Array<ArrayBuffer>;
  readonly from: number; // the number of the first of them among all well-formed records, from 0
  readonly records: number;
  readonly fraction: number; // 0–1 of the file that is read by their end
  readonly lineEnd: TextScanner['lineEnd'];
  readonly padded: boolean; // some cell may begin or end with white space; if not, none does
}

/** Reads a CSV file once, in bounded memory, a block of records after the other. Throws a Refusal where its text can't be trusted. */
export async function* csvBlocks(content: Blob, shape: TextShape, signal: AbortSignal): AsyncGenerator<CsvBlock, TextScan> {
  const scanner = new TextScanner(shape);
  let waiting: Uint8Array<ArrayBuffer>[] = [], bytes = 0, from = 0;
  let rest = new Uint8Array(0); // of a record that has not yet ended
  const collect = (buffer: Uint8Array<ArrayBuffer>): void => {
    for (let i = 0; i < scanner.stretches.length; i += 2) {
      const stretch = buffer.subarray(scanner.stretches[i], scanner.stretches[i + 1]);
      waiting.push(stretch);
      bytes += stretch.length;
    }
  };
  const block = (fraction: number): CsvBlock => {
    const made = { bytes: joined(waiting, bytes), from, records: scanner.accepted - from, fraction, lineEnd: scanner.lineEnd, padded: scanner.padded };
    [waiting, bytes, from] = [[], 0, scanner.accepted];
    return made;
  };
  for (let at = 0; at < content.size; at += pieceBytes) {
    const piece = new Uint8Array(await content.slice(at, at + pieceBytes).arrayBuffer());
    signal.throwIfAborted();
    const buffer = joined([rest, piece], rest.length + piece.length);
    scanner.take(buffer, rest.length);
    collect(buffer);
    rest = buffer.slice(scanner.recordStart);
    scanner.forget();
    if (bytes >= blockBytes) yield block(Math.min(1, (at + pieceBytes) / content.size));
  }
  const scan = scanner.finish(rest.length);
  collect(rest);
  if (scanner.accepted > from) yield block(1);
  return scan;
}

function joined(parts: readonly Uint8Array<ArrayBuffer>[], bytes: number): Uint8Array<ArrayBuffer> {
  const whole = new Uint8Array(bytes);
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
