import type { Database } from './database';

/** Where the numbers come from. Dates are ISO 8601. */
export interface Source {
  readonly registry: string;
  readonly version: string;
  readonly opened: string;
  readonly closingDate: string;
  readonly fingerprint: string; // SHA-256, hexadecimal, over the loaded files
}

/** An extract that was loaded: the database holds the table `followup` (see followupTable.ts) and the accepted rows of every table. */
export interface LoadedExtract {
  readonly database: Database;
  readonly source: Source;
}
