import { z } from 'zod';
import { Mapping } from '../../lib/contract/mapping';

/** Names of what is kept. They are encrypted as well. */
export const names = {
  extract: 'extract.json',
  file: (number: number) => `extract/${number}`,
  mapping: 'mapping.json',
  cases: 'cases.json',
  settings: 'settings.json',
} as const;

export const isOfExtract = (name: string): boolean => name === names.extract || name.startsWith('extract/');

/** What an extract was when it was kept. */
export const ExtractNote = z.strictObject({
  registry: z.string(),
  version: z.string(),
  fingerprint: z.string(), // of the extract as it was loaded: it must load to the same again
  keptOn: z.iso.date(),
  files: z.array(z.string()).min(1), // paths as they were chosen, in the order of their records
  mapping: Mapping.nullable(),
});
export type ExtractNote = z.infer<typeof ExtractNote>;

export const Settings = z.strictObject({ searches: z.record(z.string(), z.string()) }); // the question last asked on each page
