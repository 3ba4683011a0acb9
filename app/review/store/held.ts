import type { Entry } from '../../../lib/review/entry';
import { caseFile, type CaseFile } from '../../../lib/review/fold';
import { verified, type Damage } from '../../../lib/review/verify';

/** A case whose history is not whole: shown as such, never drawn. */
export interface DamagedCase { readonly id: string; readonly entries: number; readonly damage: readonly Damage[] }

/** What this tab holds in memory, each history checked. */
export interface Cases {
  readonly files: readonly CaseFile[];
  readonly damaged: readonly DamagedCase[];
  readonly checkedAt: Date;
  readonly unsaved: number; // entries that are neither kept on this machine nor in an exported file
}

const caseOf = (entry: unknown): string => (typeof entry === 'object' && entry !== null && 'case' in entry ? String(entry.case) : '');

const seen = new Map<string, Entry>();
/** The same object for the same entry, so that what did not change is not drawn again. Its hash was just found to be its id. */
function asBefore(entry: Entry): Entry {
  const before = seen.get(entry.id) ?? entry;
  seen.set(entry.id, before);
  return before;
}

/** Entries of whatever source as cases. */
export async function casesOf(entries: readonly unknown[], unsaved: number): Promise<Cases> {
  const files: CaseFile[] = [], damaged: DamagedCase[] = [];
  for (const id of new Set(entries.map(caseOf))) {
    const own = entries.filter((entry) => caseOf(entry) === id), result = await verified(own);
    if (result.status === 'whole') files.push(caseFile(result.history.map(asBefore)));
    else damaged.push({ id, entries: own.length, damage: result.damage });
  }
  return { files: files.sort((a, b) => ((a.history[0]?.at ?? '') < (b.history[0]?.at ?? '') ? -1 : 1)), damaged, checkedAt: new Date(), unsaved };
}
