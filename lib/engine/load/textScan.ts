import type { Reading } from './loading';
import { problem, Refusal } from '../../intake/refusal';

/** What a reading of the bytes of a CSV file finds. It is the count that the engine's own reading is checked against. */
export interface TextScan {
  readonly records: number; // the header not counted
  readonly malformed: Int32Array; // lines that start a record with more or fewer cells than the header, ascending
  readonly skipped: Int32Array; // lines that start no record with the right number of cells: empty, within quotes, or malformed; ascending
}

const comma = 44, quote = 34, newline = 10, carriageReturn = 13;
const special = new Uint8Array(256);
for (const byte of [0, newline, carriageReturn, quote, comma]) special[byte] = 1;
const pieceBytes = 4 * 1024 * 1024;
const longestRecord = 1024 * 1024; // bytes; the engine takes up to two million
const mostIrregularLines = 1_000_000;

const enum State { CellStart, Plain, Quoted, QuoteInQuoted }

/**
 * Reads a UTF-8 CSV file once, byte by byte, in bounded memory. Throws a Refusal where record boundaries can't be trusted: bytes that are
 * no UTF-8, zero bytes, a quote never closed or closed within a cell, mixed line ends, a record of over 1 MiB.
 */
export async function scanText(file: string, content: Blob, cells: number, { signal, onRead }: Reading): Promise<TextScan> {
  const scanner = new Scanner(file, cells);
  const utf8 = new TextDecoder('utf-8', { fatal: true });
  for (let from = 0; from < content.size; from += pieceBytes) {
    const piece = new Uint8Array(await content.slice(from, from + pieceBytes).arrayBuffer());
    signal.throwIfAborted();
    scanner.decode(utf8, piece);
    scanner.take(piece);
    onRead(Math.min(1, (from + pieceBytes) / content.size));
  }
  scanner.decode(utf8, new Uint8Array(0));
  return scanner.finish();
}

class Scanner {
  private state: State = State.CellStart;
  private line = 1;
  private commas = 0;
  private bytesInRecord = 0; // without the line end
  private recordLine = 1;
  private afterReturn = false;
  private withReturn = 0;
  private withoutReturn = 0;
  private records = -1; // the header
  private readonly malformed: number[] = [];
  private readonly skipped: number[] = [];

  constructor(private readonly file: string, private readonly cells: number) {}

  take(bytes: Uint8Array): void {
    for (let i = 0; i < bytes.length; i++) {
      const byte = bytes[i]!;
      if (this.afterReturn && byte !== newline) this.refuse('line_ends', 'a carriage return without a line feed; save the file with LF or CRLF line ends', this.line);
      if (special[byte] === 0) {
        if (this.state === State.QuoteInQuoted) this.refuse('misplaced_quote', 'a quoted cell goes on after its closing quote', this.line);
        if (this.state === State.CellStart) this.state = State.Plain;
        const from = i;
        while (i + 1 < bytes.length && special[bytes[i + 1]!] === 0) i++;
        this.grow(i + 1 - from);
      } else {
        this.takeSpecial(byte);
      }
    }
  }

  private takeSpecial(byte: number): void {
    switch (byte) {
      case newline:
        this.endLine();
        return;
      case carriageReturn:
        if (this.state === State.Quoted) this.grow(1);
        else this.afterReturn = true;
        return;
      case comma:
        if (this.state !== State.Quoted) {
          this.commas++;
          this.state = State.CellStart;
        }
        break;
      case quote:
        if (this.state === State.CellStart || this.state === State.QuoteInQuoted) this.state = State.Quoted;
        else if (this.state === State.Quoted) this.state = State.QuoteInQuoted;
        break;
      default:
        this.refuse('zero_bytes', 'the file holds zero bytes: it is not UTF-8 text', this.line);
    }
    this.grow(1);
  }

  private grow(bytes: number): void {
    this.bytesInRecord += bytes;
    if (this.bytesInRecord > longestRecord) this.refuseLength();
  }

  finish(): TextScan {
    if (this.state === State.Quoted) this.refuse('unclosed_quote', 'a quoted cell is never closed', this.recordLine);
    if (this.bytesInRecord > 0 || this.commas > 0) this.endRecord();
    if (this.withReturn > 0 && this.withoutReturn > 0) {
      this.refuse('line_ends', `line ends are mixed: ${this.withReturn} lines end in CRLF, ${this.withoutReturn} in LF; save the file with one kind`, null);
    }
    return { records: Math.max(this.records, 0), malformed: Int32Array.from(this.malformed), skipped: Int32Array.from(this.skipped).sort() };
  }

  /** An empty chunk is the end. */
  decode(utf8: TextDecoder, bytes: Uint8Array<ArrayBuffer>): void {
    try {
      utf8.decode(bytes, { stream: bytes.length > 0 });
    } catch {
      this.refuseEncoding(bytes.subarray(bytes.findIndex((byte) => (byte & 0xc0) !== 0x80))); // from the first whole character on
    }
  }

  /** Finds the line of the first bytes that are no UTF-8, for the message. */
  private refuseEncoding(bytes: Uint8Array<ArrayBuffer>): never {
    const text = new TextDecoder('utf-8').decode(bytes); // wrong bytes become U+FFFD
    const before = text.slice(0, Math.max(text.indexOf('\uFFFD'), 0));
    const line = this.line + before.split('\n').length - 1;
    const latin = new TextDecoder('windows-1252').decode(bytes).split('\n')[before.split('\n').length - 1] ?? '';
    const word = /[\w'-]*[\u0080-\uFFFF][\w'\u0080-\uFFFF-]*/.exec(latin)?.[0] ?? '';
    throw new Refusal([problem('not_utf8', `the text is not UTF-8${word === '' ? '' : `; read as Latin-1 it would say ‘${word.slice(0, 40)}’`}. Save the file as UTF-8`,
      { file: this.file, line, value: word === '' ? null : word.slice(0, 40) })]);
  }

  private endLine(): void {
    if (this.afterReturn) this.withReturn++;
    else if (this.state !== State.Quoted) this.withoutReturn++;
    this.afterReturn = false;
    if (this.state === State.Quoted) this.grow(1);
    else if (this.bytesInRecord === 0) this.skip(this.line);
    else this.endRecord();
    this.line++;
    if (this.state === State.Quoted) this.skip(this.line);
    else this.recordLine = this.line;
  }

  private endRecord(): void {
    if (this.records >= 0 && this.commas + 1 !== this.cells) {
      this.malformed.push(this.recordLine);
      this.skip(this.recordLine);
    }
    this.records++;
    this.commas = 0;
    this.bytesInRecord = 0;
    this.state = State.CellStart;
  }

  private skip(line: number): void {
    if (this.skipped.push(line) > mostIrregularLines) {
      this.refuse('irregular', `more than ${mostIrregularLines.toLocaleString('en')} lines are empty or have the wrong number of cells`, line);
    }
  }

  private refuseLength(): never {
    return this.state === State.Quoted
      ? this.refuse('unclosed_quote', 'a quoted cell is not closed within 1 MiB', this.recordLine)
      : this.refuse('too_long_line', 'the line is longer than 1 MiB: this is no table of one record a line', this.recordLine);
  }

  private refuse(rule: string, text: string, line: number | null): never {
    throw new Refusal([problem(rule, text, { file: this.file, line })]);
  }
}
