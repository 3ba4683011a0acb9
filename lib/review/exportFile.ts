import { z } from 'zod';
import { canonicalJson, hashOf } from '../contract/canonical';
import { CaseId, Hash } from './entry';
import { headsOf, inOrder, type History } from './graph';
import { verified } from './verify';

const format = 'implant-survivorship-workbench/cases', version = 1;

/** What a file holds. Entries are looked at one by one, so that a problem can be named by its number. */
const Content = z.strictObject({
  format: z.literal(format), version: z.literal(version),
  cases: z.array(z.strictObject({ case: CaseId, heads: z.array(Hash).min(1), count: z.int().min(1), entries: z.array(z.unknown()).min(1) })).min(1),
});
const File = z.strictObject({ content: z.unknown(), sha256: Hash });

/** One or more cases as a file: canonical JSON with its own hash over entries, heads and their number. */
export async function exportFile(histories: readonly History[]): Promise<string> {
  const content = {
    format, version,
    cases: histories.map((history) => ({ case: history[0]?.case, heads: headsOf(history), count: history.length, entries: inOrder(history) })),
  };
  return canonicalJson({ content, sha256: await hashOf(content) });
}

export type Read = { readonly status: 'ok'; readonly histories: readonly History[] } | { readonly status: 'refused'; readonly problems: readonly string[] };

const refused = (...problems: string[]): Read => ({ status: 'refused', problems });
const short = (hash: string) => hash.slice(0, 12);

function parsed(text: string): { readonly value: unknown } | null {
  try { return { value: JSON.parse(text) as unknown }; } catch { return null; }
}

/** The histories in a file, or why it is refused as a whole: one changed character is enough. */
export async function readExport(text: string): Promise<Read> {
  try {
    return await readUnguarded(text);
  } catch (error) { // deeper than can be walked, or text that no machine may write
    if (error instanceof RangeError || error instanceof Error) return refused(`The file cannot be read: ${error.message}.`);
    throw error;
  }
}

async function readUnguarded(text: string): Promise<Read> {
  const json = parsed(text);
  if (json === null) return refused(`The file is not whole JSON: it was cut short or changed (${text.length.toLocaleString('en-GB')} characters).`);
  const file = File.safeParse(json.value);
  if (!file.success) return refused('The file is not a case file of this workbench: it must hold “content” and “sha256”, and nothing else.');
  const content = Content.safeParse(file.data.content);
  if (!content.success) return refused(...content.error.issues.slice(0, 5).map(({ path, message }) => `The content of the file is not that of a case file: ${message} (field ${path.join('.') || 'content'}).`));
  const histories: History[] = [], problems: string[] = [];
  for (const [i, { case: id, entries, heads, count }] of content.data.cases.entries()) {
    const where = content.data.cases.length === 1 ? '' : `Case ${i + 1}, `, result = await verified(entries);
    if (result.status === 'damaged') {
      problems.push(...result.damage.slice(0, 5).map(({ entry, rule, value }) => `${where}${where === '' ? 'Entry' : 'entry'} ${entry} of ${entries.length}: ${rule} (${value}).`));
      continue;
    }
    const found = headsOf(result.history), label = where === '' ? 'The history' : `${where}the history`;
    if (result.history[0]?.case !== id) problems.push(`${label}: the entries must belong to the case that the file names.`);
    if (count !== entries.length) problems.push(`${label}: ${entries.length} entries where the file says ${count}.`);
    if (found.join() !== heads.join()) problems.push(`${label}: it ends in ${found.map(short).join(', ')} where the file says ${heads.map(short).join(', ')}.`);
    histories.push(result.history);
  }
  if (problems.length > 0) return refused(...problems);
  const hash = await hashOf(file.data.content);
  if (hash !== file.data.sha256) return refused(`The file must have the hash that it states (${short(hash)} instead of ${short(file.data.sha256)}): it was changed.`);
  if (canonicalJson(json.value) !== text.trimEnd()) return refused('The file says the same in another way than it was written: its text must be left as it is.');
  if (new Set(content.data.cases.map(({ case: id }) => id)).size < content.data.cases.length) return refused('The file holds a case twice.');
  return { status: 'ok', histories };
}
