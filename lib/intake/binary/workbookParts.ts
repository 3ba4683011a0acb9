import { problem, Refusal } from '../refusal';
import type { UnpackedFile } from '../unpack';
import { openArchive } from '../unzip';

const mostBytes = 256 * 1024 ** 2; // of XML: read as text, it takes several times as much

/** The XML files of an Office Open XML workbook (ISO/IEC 29500), each by its path. Sizes and checksums are watched as in any zip. */
export async function workbookParts(file: UnpackedFile, signal: AbortSignal): Promise<Map<string, string>> {
  const archive = await openArchive(file);
  const parts = new Map<string, string>();
  let bytes = 0;
  for (const name of archive.names) {
    if (!/\.(xml|rels)$/i.test(name) || /^(docProps|customXml)\//i.test(name) || /\/(theme|drawings|charts|media|pivot[^/]*)\//i.test(name)) continue;
    const { content } = await archive.open(name, signal);
    bytes += content.size;
    if (bytes > mostBytes) {
      throw new Refusal([problem('workbook_too_large', 'the workbook is too large to be read here; save its sheets as CSV', { file: file.name })]);
    }
    parts.set(name, await content.text());
  }
  return parts;
}

/** The path of each sheet's XML, in the order of the workbook; undefined where the workbook does not say. */
export function sheetPaths(parts: ReadonlyMap<string, string>): readonly (string | undefined)[] {
  const targets = new Map<string, string>();
  for (const [tag] of (parts.get('xl/_rels/workbook.xml.rels') ?? '').matchAll(/<(?:\w+:)?Relationship\b[^>]*>/g)) {
    const id = /\bId="([^"]*)"/.exec(tag)?.[1], target = /\bTarget="([^"]*)"/.exec(tag)?.[1];
    if (id !== undefined && target !== undefined) targets.set(id, target.startsWith('/') ? target.slice(1) : `xl/${target}`);
  }
  return [...(parts.get('xl/workbook.xml') ?? '').matchAll(/<(?:\w+:)?sheet\b[^>]*>/g)].map(([tag]) => targets.get(/\b\w+:id="([^"]*)"/.exec(tag)?.[1] ?? ''));
}
