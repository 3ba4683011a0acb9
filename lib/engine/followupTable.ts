import { quoteName } from '../intake/sql/quoting';
import { roleCodes, type Role } from '../contract/codes';

/**
 * The one table that questions are asked of, made once when an extract is loaded: a row per primary procedure that was kept, in the order of
 * their numbers. To the engine it is a view of the table `followed`, see createFollowup.ts.
 * Enum columns have the codes of `lib/contract/codes` (or the identifiers of the extract) in their order.
 *
 * | column | type | meaning |
 * | --- | --- | --- |
 * | procedure, patient | INTEGER | numbers that rise in the order of the extract: of a procedure that of its record, of a patient that of the first procedure; a procedure of which the patient is not known is one patient of its own |
 * | patient_known | BOOLEAN | false: nothing else of this patient can be known |
 * | hospital, surgeon, region | ENUM, null: not recorded | identifiers |
 * | joint | ENUM | |
 * | side, class, indication, sex | ENUM, null: not recorded | as in `procedures` |
 * | approach, proximal_fixation, distal_fixation | ENUM, null: not recorded | |
 * | year | SMALLINT | calendar year of the procedure |
 * | procedure_day | INTEGER | days from 1970-01-01 to the procedure |
 * | age | UTINYINT, null: not recorded | completed years |
 * | asa | UTINYINT, null: not recorded | 1–5 |
 * | bmi | FLOAT, null: not recorded | kg/m² |
 * | entry_day | INTEGER, null: from the start | days from the procedure to follow_up_start, where later than the procedure; at risk on (entry_day, exit_day] |
 * | exit_day | INTEGER | whole days from the procedure to first revision, death, follow_up_end or closing date, whichever is first; a revision on the same day as a later end comes first |
 * | ending | ENUM('censored', 'revision', 'death') | what happened on exit_day |
 * | kind | ENUM('major', 'minor', 'unspecified'), null: not revised | of the first revision; unspecified: a revision of which kind is not recorded |
 * | reason | ENUM, null: not revised, or reasons not recorded | of the first revision: its first reason in the declared order |
 * | removed | UINTEGER, null: not revised | bit i: `roleCodes[i]` was removed or exchanged; 0: not recorded |
 * | <role>_model, <role>_design, <role>_material | ENUM, null: no such component, or not recorded (the component then has a model or a design) | for every role in `roleCodes` |
 */
export const componentColumn = (role: Role, what: 'model' | 'design' | 'material'): string => `${role}_${what}`;

/** The bit of a role in the column `removed`. */
export const roleBit = (role: Role): number => 1 << roleCodes.findIndex((r) => r.code === role);

const wholeNumbers: ReadonlySet<string> = new Set(['procedure', 'patient', 'year', 'procedure_day', 'age', 'asa', 'entry_day', 'exit_day']);

export const isWholeNumber = (column: string): boolean => wholeNumbers.has(column);

/** SQL of a column of whole numbers or codes as a number of at least 0, null where not recorded. */
export const wholeNumberSql = (column: string): string => (isWholeNumber(column) ? quoteName(column) : `enum_code(${quoteName(column)})`);
