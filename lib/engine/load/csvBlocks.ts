import { QueryError, quoteText } from '../database';
import { nextTask } from '../nextTask';
import { rowsTogether } from '../newColumn';
import { askingAhead } from './askingAhead';
import { newline, type PlainRecords } from './plainRecords';
import { TextScanner, type TextScan, type TextShape } from './textScan';

const pieceBytes = 4 * 1024 * 1024; // read at once
const turnBytes = 512 * 1024; // a few milliseconds: the engine is asked a dozen times in a block, and stands still while it is not heard
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

/** Hears of well-formed records as soon as they are found: they stand in the buffer from one place up to another. Row: of the first in its block. */
export type OnRecords = (buffer: Uint8Array, start: number, end: number, row: number, plain: PlainRecords) => void;

/** Reads a CSV file once, in bounded memory, a block of records after the other. Throws a Refusal where its text can't be trusted. */
export async function* csvBlocks(content: Blob, shape: TextShape, signal: AbortSignal, onRecords?: OnRecords): AsyncGenerator<CsvBlock, TextScan> {
  const scanner = new TextScanner(shape);
  let parts: Uint8Array<ArrayBuffer>[] = [], bytes = 0, from = 0, at = 0;
  let rest = new Uint8Array(0); // of a record that has not yet ended: it is looked at again with what follows
  const take = (buffer: Uint8Array<ArrayBuffer>, start: number, end: number, row: number): void => {
    const part = buffer.subarray(start, end), last = parts.at(-1);
    if (last?.buffer === part.buffer && last.byteOffset + last.length === part.byteOffset) parts[parts.length - 1] = new Uint8Array(part.buffer, last.byteOffset, last.length + part.length);
    else parts.push(part);
    bytes += part.length;
    onRecords?.(buffer, start, end, row, scanner.plain);
  };
  const block = (read: number): CsvBlock => {
    const made = { parts, from, records: scanner.accepted - from, fraction: Math.min(1, read / content.size), lineEnd: scanner.lineEnd, padded: scanner.padded };
    [parts, bytes, from] = [[], 0, scanner.accepted];
    return made;
  };
  async function* blocksIn(buffer: Uint8Array<ArrayBuffer>, begun: number): AsyncGenerator<CsvBlock, void> {
    scanner.check(buffer, begun);
    for (let done = begun, turn = done; done < buffer.length;) {
      const { recordStart, accepted } = scanner;
      done = scanner.goOn(buffer, done);
      if (scanner.accepted > accepted) {
        take(buffer, recordStart, scanner.recordStart, accepted - from);
        if (scanner.accepted % rowsTogether === 0 || bytes >= blockBytes) yield block(at + scanner.recordStart);
      }
      if (done - turn >= turnBytes) {
        await nextTask();
        turn = done;
      }
    }
    rest = buffer.subarray(scanner.recordStart);
    at += scanner.recordStart;
    scanner.beginAt(0);
  }
  for await (const piece of askingAhead(piecesOf(content))) {
    signal.throwIfAborted();
    // The record that goes on is looked at by itself, up to a line end: then most of the piece stays where it is.
    const line = rest.length === 0 ? 0 : piece.indexOf(newline) + 1;
    if (line > 0) yield* blocksIn(joined([rest, piece.subarray(0, line)]), rest.length);
    if (rest.length > 0) {
      yield* blocksIn(joined([rest, piece.subarray(line)]), rest.length);
    } else {
      at -= line;
      scanner.beginAt(line);
      yield* blocksIn(piece, line);
    }
  }
  const { accepted } = scanner, scan = scanner.finish(rest.length);
  if (scanner.accepted > accepted) take(rest, 0, rest.length, accepted - from);
  if (scanner.accepted > from) yield block(content.size);
  return scan;
}

async function* piecesOf(content: Blob): AsyncGenerator<Uint8Array<ArrayBuffer>> {
  for (let at = 0; at < content.size; at += pieceBytes) yield new Uint8Array(await content.slice(at, at + pieceBytes).arrayBuffer());
}

/** The text of a block in one piece. */
export const bytesOf = ({ parts }: CsvBlock): Uint8Array<ArrayBuffer> => joined(parts);

function joined(parts: readonly Uint8Array<ArrayBuffer>[]): Uint8Array<ArrayBuffer> {
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
