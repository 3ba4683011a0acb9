import type { TextLayout } from '../../contract/mapping';
import { columnNames } from '../columns';
import type { ExtractFile } from '../extractFile';
import { problem, Refusal } from '../refusal';
import { csvRows } from './csvRows';
import { asUtf8 } from './decode';

const longestHeader = 1024 * 1024;

/** A text file as UTF-8 from the names of its columns on. */
export interface TableText {
  readonly content: Blob;
  readonly names: readonly string[];
}

/** Throws a Refusal where the bytes are not of the encoding, or there is no such header line. */
export async function tableText(file: ExtractFile, { encoding, delimiter, headerLine }: TextLayout, signal: AbortSignal): Promise<TableText> {
  let utf8: Blob;
  try {
    utf8 = await asUtf8(file.content, encoding, signal);
  } catch (error) {
    signal.throwIfAborted();
    if (!(error instanceof TypeError)) throw error;
    throw new Refusal([problem('wrong_encoding', `the text is not ${encoding.toUpperCase()}`, { file: file.name })]);
  }
  const start = await lineStart(utf8, headerLine);
  const content = start === 0 ? utf8 : utf8.slice(start ?? utf8.size);
  const [header] = csvRows(new TextDecoder().decode(await content.slice(0, longestHeader).arrayBuffer()), delimiter, { most: 1 });
  if (header === undefined) throw new Refusal([problem('no_header', 'the names of the columns are missing', { file: file.name, line: headerLine })]);
  return { content, names: columnNames(header.cells) };
}

/** Where a line begins, in bytes; null: there are fewer lines, as far as a beginning of the file is looked at. */
async function lineStart(content: Blob, wanted: number): Promise<number | null> {
  if (wanted === 1) return 0;
  const bytes = new Uint8Array(await content.slice(0, longestHeader).arrayBuffer());
  let line = 1;
  for (let i = 0; i < bytes.length; i++) if (bytes[i] === 10 && ++line === wanted) return i + 1;
  return null;
}
