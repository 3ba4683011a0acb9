import type { Database } from './database';

/** Where the numbers come from. Dates are ISO 8601. */
export interface Source {
  readonly registry: string;
  readonly version: string;
  readonly opened: string;
  readonly closingDate: string;
  readonly fingerprint: string; // SHA-256, hexadecimal, over the loaded files
}

/**
 * An extract that was loaded. The database is sealed and holds `followup` (see followupTable.ts), `set_aside` (table, record, line, field, rule,
 * scope, value: what was not kept; primary_record, primary_line: of the procedure that a re-operation was held against, where it is known), `line_start` (see
 * lines.ts) and the accepted records of every table, with these differences from the contract:
 *
 * | table | differs in |
 * | --- | --- |
 * | procedures | has `procedure` and `patient`, the numbers of `followup`, and `record`, its number in the files, too |
 * | components, followups | have `procedure` instead of `procedure_id` |
 * | revisions | have `procedure` instead of procedure_id, patient_id, joint and side; `record`; `linked_by_id` (else linked by patient, joint and side);
 *   `counts_as`: 'first_revision', 're_revision', 'reoperation' or 'after_follow_up' (only the first is an end point) |
 *
 * Codes are enums in the order of their lists, named `<list>_code`; identifiers of models, hospitals, surgeons and regions are enums too.
 */
export interface LoadedExtract {
  readonly database: Database;
  readonly source: Source;
}
