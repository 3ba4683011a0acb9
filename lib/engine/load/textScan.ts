import { mayBeKey } from '../../intake/columns';
import { problem, Refusal } from '../../intake/refusal';
import { rowsTogether } from '../newColumn';
import { carriageReturn, isBlank, longestRecord, newline, PlainRecords, quote } from './plainRecords';

/** What a reading of the bytes of a CSV file finds. */
export interface TextScan {
  readonly records: number; // the header not counted, well formed or not
  readonly malformed: Int32Array; // lines that start a record with more or fewer cells than the header, ascending
  readonly skipped: Int32Array; // lines that start no record with the right number of cells: empty, within quotes, or malformed; ascending
}

/** What is known of the text before it is read. */
export interface TextShape {
  readonly file: string;
  readonly cells: number; // in the header
  readonly identifying: ReadonlySet<number>; // places of the columns whose values can point to a person
  readonly delimiter?: string; // one ASCII character; a comma where it is not given
  readonly firstLine?: number; // of the text, which is the header; 1 where it is not given
}

const mostIrregularLines = 1_000_000;

const enum State { CellStart, Plain, Quoted, QuoteInQuoted }

/**
 * Takes a UTF-8 CSV text, plain records many at once and anything else byte by byte, and finds its well-formed records. Throws a Refusal where
 * record boundaries can't be trusted: bytes that are no UTF-8, zero bytes, a quote never closed or closed within a cell, mixed line ends, a record
 * of over 1 MiB.
 */
export class TextScanner {
  /** The plain records that it took when it last went on, if there were any. */
  readonly plain: PlainRecords;
  /** Where in the buffer the record that has not yet ended begins. */
  recordStart = 0;
  accepted = 0; // well-formed records so far, the header not counted
  /** Some cell so far may begin or end with white space; where this is false, none does. */
  padded = false;

  private state: State = State.CellStart;
  private line: number;
  private commas = 0;
  private bytesInRecord = 0; // without the line end
  private recordLine: number;
  private afterReturn = false;
  private withReturn = 0;
  private withoutReturn = 0;
  private records = -1; // the header
  private readonly malformed: number[] = [];
  private readonly skipped: number[] = [];
  private ascii = true; // so far: then there is nothing to decode
  private readonly utf8 = new TextDecoder('utf-8', { fatal: true });

  private readonly delimiter: number;
  private readonly special = new Uint8Array(256);

  constructor(private readonly shape: TextShape) {
    const delimiter = shape.delimiter ?? ',';
    this.line = this.recordLine = shape.firstLine ?? 1;
    this.delimiter = delimiter.charCodeAt(0);
    this.plain = new PlainRecords(shape.cells, delimiter);
    for (const byte of [0, newline, carriageReturn, quote, this.delimiter]) this.special[byte] = 1;
  }

  /** Looks at the encoding of what stands in the buffer from a place on. What stands before it was looked at earlier. */
  check(buffer: Uint8Array<ArrayBuffer>, from: number): void {
    this.ascii &&= isAscii(buffer);
    try {
      if (!this.ascii) this.utf8.decode(buffer.subarray(from), { stream: true });
    } catch {
      this.refuseEncoding(buffer.subarray(from));
    }
  }

  /** Goes on from a place in the buffer: over plain records, of rows that the engine keeps together, or else over one line. Gives how far it has come. */
  goOn(buffer: Uint8Array, from: number): number {
    const { plain } = this, isBetweenRecords = this.records >= 0 && this.state === State.CellStart && this.commas === 0 && this.bytesInRecord === 0 && !this.afterReturn;
    plain.find(buffer, from, isBetweenRecords ? buffer.length : from, rowsTogether - (this.accepted % rowsTogether));
    if (plain.found === 0) return this.takeLine(buffer, from, buffer.length);
    this.accepted += plain.found;
    this.records += plain.found;
    this.line += plain.found;
    this.recordLine = this.line;
    this.withReturn += plain.withReturn;
    this.withoutReturn += plain.found - plain.withReturn;
    this.padded ||= plain.padded;
    return this.recordStart = plain.end;
  }

  /** As SQL names it; of the first line. A cell may hold the other kind. */
  get lineEnd(): '\\n' | '\\r\\n' {
    return this.withReturn > 0 ? '\\r\\n' : '\\n';
  }

  /** The record that has not yet ended, or the next one, begins at a place of the next buffer. */
  beginAt(place: number): void {
    this.recordStart = place;
  }

  /** @param end of the buffer */
  finish(end: number): TextScan {
    try {
      this.utf8.decode();
    } catch {
      this.refuseEncoding(new Uint8Array(0));
    }
    if (this.state === State.Quoted) this.refuse('unclosed_quote', 'a quoted cell is never closed', this.recordLine);
    if (this.bytesInRecord > 0 || this.commas > 0) this.endRecord(end);
    if (this.withReturn > 0 && this.withoutReturn > 0) {
      this.refuse('line_ends', `line ends are mixed: ${this.withReturn} lines end in CRLF, ${this.withoutReturn} in LF; save the file with one kind`, null);
    }
    return { records: Math.max(this.records, 0), malformed: Int32Array.from(this.malformed), skipped: Int32Array.from(this.skipped).sort() };
  }

  /** Takes bytes up to the next line feed, or to a place before it. Gives how far it has come. */
  private takeLine(bytes: Uint8Array, from: number, to: number): number {
    const { special } = this;
    for (let i = from; i < to; i++) {
      const byte = bytes[i]!;
      if (this.afterReturn && byte !== newline) this.refuse('line_ends', 'a carriage return without a line feed; save the file with LF or CRLF line ends', this.line);
      if (special[byte] === 0) {
        if (this.state === State.QuoteInQuoted) this.refuse('misplaced_quote', 'a quoted cell goes on after its closing quote', this.line);
        if (this.state === State.CellStart) this.state = State.Plain;
        const start = i;
        while (i + 1 < to && special[bytes[i + 1]!] === 0) i++;
        if (isBlank[byte] === 1 || isBlank[bytes[i]!] === 1) this.padded = true;
        this.grow(i + 1 - start);
      } else {
        this.takeSpecial(byte, i);
        if (byte === newline) return i + 1;
      }
    }
    return to;
  }

  private takeSpecial(byte: number, at: number): void {
    switch (byte) {
      case newline:
        this.endLine(at + 1);
        return;
      case carriageReturn:
        if (this.state === State.Quoted) this.grow(1);
        else this.afterReturn = true;
        return;
      case this.delimiter:
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

  private endLine(next: number): void {
    if (this.afterReturn) this.withReturn++;
    else if (this.state !== State.Quoted) this.withoutReturn++;
    this.afterReturn = false;
    if (this.state === State.Quoted) {
      this.grow(1);
    } else if (this.bytesInRecord === 0) {
      this.skip(this.line);
      this.recordStart = next;
    } else {
      this.endRecord(next);
    }
    this.line++;
    if (this.state === State.Quoted) this.skip(this.line);
    else this.recordLine = this.line;
  }

  private endRecord(next: number): void {
    if (this.records >= 0) {
      if (this.commas + 1 === this.shape.cells) {
        this.accepted++;
      } else {
        this.malformed.push(this.recordLine);
        this.skip(this.recordLine);
      }
    }
    this.records++;
    this.commas = 0;
    this.bytesInRecord = 0;
    this.state = State.CellStart;
    this.recordStart = next;
  }

  private skip(line: number): void {
    if (this.skipped.push(line) > mostIrregularLines) {
      this.refuse('irregular', `more than ${mostIrregularLines.toLocaleString('en')} lines are empty or have the wrong number of cells`, line);
    }
  }

  /** Finds the line of the first bytes that are no UTF-8, and what they would be in the encoding that is most often meant. */
  private refuseEncoding(bytes: Uint8Array<ArrayBuffer>): never {
    const first = bytes.findIndex((byte) => (byte & 0xc0) !== 0x80); // whole characters from here on
    const text = new TextDecoder('utf-8').decode(bytes.subarray(Math.max(first, 0))); // wrong bytes become U+FFFD
    const before = text.slice(0, Math.max(text.indexOf('\uFFFD'), 0));
    const wrong = Math.max(first, 0) + new TextEncoder().encode(before).length;
    for (let at = 0; at < wrong;) at = this.takeLine(bytes, at, wrong);
    const latin = new TextDecoder('windows-1252').decode(bytes.subarray(Math.max(first, 0))).split('\n')[before.split('\n').length - 1] ?? '';
    const found = /[\w'-]*[\u0080-\uFFFF][\w'\u0080-\uFFFF-]*/.exec(latin)?.[0] ?? '';
    // A mark between cells or lines of which a bit was turned has a key behind it, whatever column it stands in.
    const isMark = this.special[bytes[wrong]! & 0x7f] === 1, word = this.shape.identifying.has(this.commas) || isMark || mayBeKey(found) ? '' : found;
    throw new Refusal([problem('not_utf8', `the text is not UTF-8${word === '' ? '' : `; read as Latin-1 it would say ‘${word.slice(0, 40)}’`}. Save the file as UTF-8`,
      { file: this.shape.file, line: this.line, value: word === '' ? null : word.slice(0, 40) })]);
  }

  private refuseLength(): never {
    return this.state === State.Quoted
      ? this.refuse('unclosed_quote', 'a quoted cell is not closed within 1 MiB', this.recordLine)
      : this.refuse('too_long_line', 'the line is longer than 1 MiB: this is no table of one record a line', this.recordLine);
  }

  private refuse(rule: string, text: string, line: number | null): never {
    throw new Refusal([problem(rule, text, { file: this.shape.file, line })]);
  }
}

/** Whether all bytes are below 128, sixteen at a time. */
function isAscii(bytes: Uint8Array<ArrayBuffer>): boolean {
  const whole = (bytes.length >> 4) << 2, fours = new Int32Array(bytes.buffer, bytes.byteOffset, whole);
  let seen = 0;
  for (let i = 0; i < whole; i += 4) seen |= fours[i]! | fours[i + 1]! | fours[i + 2]! | fours[i + 3]!;
  for (let i = 4 * whole; i < bytes.length; i++) seen |= bytes[i]!;
  return (seen & 0x80808080) === 0;
}
