import { z } from 'zod';
import type { Entry } from '../../../lib/review/entry';
import { keep } from '../../vault/keeping';
import { names } from '../../vault/names';
import type { Vault } from '../../../lib/vault/vault';

/** What lies in a kept record of cases; entries are looked at one by one later. */
const Stored = z.array(z.looseObject({ id: z.string() }));
export type StoredEntry = Entry | z.infer<typeof Stored>[number];

export const entriesIn = async (record: Blob | null): Promise<readonly StoredEntry[]> => (record === null ? [] : Stored.parse(JSON.parse(await record.text())));

export const together = (...lists: readonly (readonly StoredEntry[])[]): readonly StoredEntry[] => [...new Map(lists.flat().map((entry) => [entry.id, entry])).values()];

/** The record of what is kept by now and what is added: another tab may have written. */
export async function withEntries(vault: Vault, added: readonly StoredEntry[]): Promise<{ readonly name: string; readonly content: Blob }> {
  const entries = together(await entriesIn(await vault.read(names.cases)), added);
  return { name: names.cases, content: new Blob([JSON.stringify(entries)], { type: 'application/json' }) };
}

/** Adds entries to the kept cases; gives the reason where they were not. */
export const keepEntries = (added: readonly StoredEntry[]): Promise<string | null> =>
  keep(async (vault) => ({ put: [await withEntries(vault, added)], drop: () => false }), null, 'Keeping the case');

/** Keeps none of them any more; cases that are written later are kept again. */
export const emptyKeptCases = (): Promise<string | null> =>
  keep(() => Promise.resolve({ put: [{ name: names.cases, content: new Blob(['[]'], { type: 'application/json' }) }], drop: () => false }), null);
