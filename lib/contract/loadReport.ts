import type { Recorded } from './recorded';
import type { RuleId } from './rules';
import type { TableName } from './tables';

/** A value or record that failed a rule. `line` counts from 1, the header included; in a Parquet or Arrow file it is the row, from 1. */
export interface Finding {
  readonly file: string | null;
  readonly line: number;
  readonly value: string | null; // null: an identifier, kept out of the report
}

/** How often one rule failed in one field, with the first examples. */
export interface RuleCount {
  readonly table: TableName;
  readonly field: string;
  readonly rule: RuleId;
  readonly title: string;
  readonly scope: 'record' | 'value'; // what was set aside: the whole record, or this value only
  readonly count: number;
  readonly examples: readonly Finding[];
}

/** read = kept + setAside, always. */
export interface TableReport {
  readonly table: TableName;
  readonly file: string | null; // null: no such file, an optional table; several are listed
  readonly countedIn: 'lines' | 'rows';
  readonly read: number;
  readonly kept: number;
  readonly setAside: number;
  readonly valuesSetAside: number;
  readonly ignoredColumns: readonly string[]; // not of the contract, not loaded
  /** Rows of a file in which the mapping finds no record of this table: `column` is empty or says so. Of these, those in which other columns of such a record are not empty. */
  readonly withoutRecord: readonly { readonly file: string; readonly column: string; readonly rows: number; readonly of: number; readonly contradicting: number }[];
}

/** What became of every record of an extract. Holds no identifiers. */
export interface LoadReport {
  readonly tables: readonly TableReport[];
  readonly rules: readonly RuleCount[];
  readonly revisions: {
    readonly linkedById: number;
    readonly linkedByPatientJointSide: number;
    readonly firstRevisions: number;
    readonly reRevisions: number; // kept, later than the first revision of their procedure: not an end point
    readonly reoperations: number; // kept, no component changed: not an end point
    readonly afterFollowUp: number; // kept, after the procedure's follow-up had ended: not an end point
  };
  readonly recorded: Recorded;
  readonly ignoredFiles: readonly string[];
  readonly notes: readonly string[]; // finished sentences
}

/** Why an extract was not loaded. `message` is a finished sentence; the other fields say where. */
export interface Problem {
  readonly file: string | null;
  readonly line: number | null;
  readonly field: string | null;
  readonly rule: string;
  readonly value: string | null;
  readonly message: string;
}
