import type { DateOrder, Mapping } from '../contract/mapping';

/**
 * A draft of a mapping, and what it rests on. Fields of `registry` that the files can't tell are empty text, and days that could be written
 * in more than one order have no order yet: `checkMapping` names all that is still open.
 */
export interface Suggestion {
  readonly mapping: Mapping;
  readonly reasons: readonly Reason[];
  readonly questions: readonly OpenQuestion[];
  /** Columns that the draft does not use. */
  readonly unused: readonly { readonly file: string; readonly sheet: string | null; readonly column: string; readonly why: string }[];
}

/** `certain`: the name is that of the data dictionary and the values fit. `likely`: a name that the trade uses, and the values fit. `unsure`: look at it. */
export type Confidence = 'certain' | 'likely' | 'unsure';

/** Why a field of the draft comes from where it does. */
export interface Reason {
  readonly path: string; // of the field in the mapping: `sources.0.tables.1.fields.side`
  readonly confidence: Confidence;
  readonly why: string; // a finished sentence
}

/** What only the person knows. The answer belongs at `path` of the mapping. */
export interface OpenQuestion {
  readonly path: string; // `registry.closing_date`, `sources.0.tables.0.fields.procedure_date.dates`, `sources.0.tables.0.fields.sex.codes.1`
  readonly about: 'registry' | 'dates' | 'joint' | 'codes' | 'minimum' | 'layout' | 'kind';
  readonly text: string; // a finished question
  /** Values the answer can have; empty: free. */
  readonly options: readonly { readonly value: string; readonly label: string }[];
}

/** What is wrong with a mapping. `path` as in the file, `sources.0.tables.1.fields.side.column`; empty: the whole. */
export interface MappingProblem {
  readonly path: string;
  readonly message: string; // a finished sentence
  /** Loading is refused. Else it goes on, and what does not fit is set aside and told. */
  readonly blocks: boolean;
}

/** Shown where the order of days is asked: the same digits read in each order. */
export const dateOrderLabels: Record<DateOrder, string> = {
  'year-month-day': 'year, month, day (2015-04-03)',
  'day-month-year': 'day, month, year (03.04.2015 is 3 April)',
  'month-day-year': 'month, day, year (03/04/2015 is March 4)',
};
