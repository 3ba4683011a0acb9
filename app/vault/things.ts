import type { Change } from '../../lib/vault/vault';
import type { Mapping } from '../../lib/contract/mapping';
import type { LoadedReport } from '../../lib/reports/loadedReport';
import { lastSearches, takeOverSearches } from '../parts/address';
import { allEntries } from '../review/store/cases';
import { withEntries } from '../review/store/keptCases';
import type { WorkbenchState } from '../shell/WorkbenchProvider';
import { keep, read, type Kept } from './keeping';
import { isOfExtract, names, Settings, type ExtractNote } from './names';

/** What a person can choose to keep. */
export const things = ['extract', 'cases', 'mapping', 'settings'] as const;
export type Thing = (typeof things)[number];

/** The files that a registry was loaded from, and how they were mapped; null: it is the sample. */
export function partsOf(given: WorkbenchState['given']): { readonly files: readonly File[]; readonly mapping: Mapping | null } | null {
  if (given === 'sample') return null;
  return 'mapping' in given ? given : { files: given, mapping: null };
}

export const isKept = (thing: Thing, kept: Kept): boolean => kept.status === 'unlocked' && kept.records.has(names[thing]);

const json = (value: unknown): Blob => new Blob([JSON.stringify(value)], { type: 'application/json' });
const pathOf = (file: File): string => (file.webkitRelativePath === '' ? file.name : file.webkitRelativePath);

export interface Own { readonly loaded: LoadedReport; readonly files: readonly File[]; readonly mapping: Mapping | null }

function extractRecords({ loaded, files, mapping }: Own): Change['put'] {
  const note: ExtractNote = { registry: loaded.name, version: loaded.version, fingerprint: loaded.fingerprint, keptOn: new Date().toISOString().slice(0, 10), files: files.map(pathOf), mapping };
  return [{ name: names.extract, content: json(note) }, ...files.map((content, i) => ({ name: names.file(i), content }))];
}

/** Keeps what was chosen and lets go of the rest. `own`: the extract that is to be kept anew. Gives the reason where nothing was done. */
export const keepThings = (chosen: ReadonlySet<Thing>, own: Own | null, mapping: Mapping | null, passphrase: string | null): Promise<string | null> => keep(async (vault) => ({
  put: [
    ...(chosen.has('extract') && own !== null ? extractRecords(own) : []),
    ...(chosen.has('cases') ? [await withEntries(vault, allEntries())] : []),
    ...(chosen.has('mapping') && mapping !== null ? [{ name: names.mapping, content: json(mapping) }] : []),
    ...(chosen.has('settings') ? [{ name: names.settings, content: json({ searches: lastSearches() }) }] : []),
  ],
  drop: (name) => (isOfExtract(name) ? own !== null || !chosen.has('extract') : things.some((thing) => names[thing] === name && !chosen.has(thing))),
}), passphrase);

/** Takes over the settings that are kept. */
export async function takeOverSettings(): Promise<void> {
  const stored = await read(names.settings);
  if (stored !== null) takeOverSearches(Settings.parse(JSON.parse(await stored.text())).searches);
}
