import type { Field, FieldKind } from '../../contract/fields';
import type { RuleId } from '../../contract/rules';
import { quoteName, quoteText } from '../database';
import { codeType } from './codeTypes';

/** A way for one cell to be wrong. `where` is SQL over the columns `v_…` (text) and `p_…` (parsed) of the field. */
interface CellCheck {
  readonly field: Field;
  readonly rule: RuleId;
  readonly where: string;
}

/** Types the columns of a table: which cell checks there are, and the SELECT that applies them. */
export interface TypedColumns {
  readonly checks: readonly CellCheck[];
  /** Columns: `record`, one per field (null where not accepted), `failed` (index of the check that sets the record aside, else null),
   * `bad` (the value that failed it), `blanked` (list of {check, value}: values set aside in records that stay). */
  readonly select: (source: string) => string;
}

const firstDay = '1900-01-01', lastDay = '2100-12-31'; // calendar days outside are slips of the pen or markers for `unknown`
const longestShown = 200;

/**
 * @param fields the fields of the table
 * @param present names of the fields that the file has; the others are read as empty
 */
export function typedColumns(fields: readonly Field[], present: ReadonlySet<string>): TypedColumns {
  const checks = fields.flatMap(cellChecks);
  const setsAside = ({ field }: CellCheck): boolean => field.required || field.emptyHasMeaning;
  const indexed = checks.map((check, index) => ({ check, index }));
  const ofRecord = indexed.filter(({ check }) => setsAside(check));
  const ofValue = indexed.filter(({ check }) => !setsAside(check));
  const shown = ({ field }: CellCheck): string => (field.identifies ? 'NULL' : `left(v_${field.name}, ${longestShown})`);

  const choose = (what: (check: CellCheck, index: number) => string): string =>
    `CASE ${ofRecord.map(({ check, index }) => `WHEN ${check.where} THEN ${what(check, index)}`).join(' ')} END`;
  const blanked = ofValue.length === 0 ? 'NULL' : `CASE WHEN ${ofValue.map(({ check }) => check.where).join(' OR ')} THEN [${
    ofValue.map(({ check, index }) => `CASE WHEN ${check.where} THEN {'check': ${index}, 'value': ${shown(check)}} END`).join(', ')}] END`;

  const select = (source: string): string => `
    SELECT record, ${fields.map((f) => `CASE WHEN ${accepted(f)} THEN p_${f.name} END AS ${quoteName(f.name)}`).join(', ')},
      (${choose((_, index) => String(index))})::UTINYINT AS failed, ${choose(shown)} AS bad,
      (${blanked})::STRUCT("check" UTINYINT, "value" VARCHAR)[] AS blanked
    FROM (SELECT *, ${fields.map((f) => `${parsed(f)} AS p_${f.name}`).join(', ')}
      FROM (SELECT record, ${fields.map((f) => `${present.has(f.name) ? quoteName(f.name) : 'NULL'}::VARCHAR AS v_${f.name}`).join(', ')}
        FROM ${source}))`;
  return { checks, select };
}

const typeRules: Record<FieldKind, RuleId> = {
  text: 'too_long', date: 'not_a_date', integer: 'not_a_whole_number', number: 'not_a_number', code: 'unknown_code', codes: 'unknown_code',
};

function cellChecks(field: Field): CellCheck[] {
  const v = `v_${field.name}`, p = `p_${field.name}`;
  const checks: CellCheck[] = [];
  if (field.required) checks.push({ field, rule: 'missing', where: `${v} IS NULL` });
  checks.push({ field, rule: typeRules[field.kind], where: `(${v} IS NOT NULL AND ${p} IS NULL)` });
  if (accepted(field) !== 'true') checks.push({ field, rule: 'out_of_range', where: `(${p} IS NOT NULL AND NOT ${accepted(field)})` });
  return checks;
}

/** Exactly one way of writing is accepted, so that nothing is guessed: TRY_CAST alone would take 12.7 for 13 and 2011/3/4 for a date. */
function parsed(field: Field): string {
  const v = `v_${field.name}`;
  switch (field.kind) {
    case 'text': return field.maxLength === null ? v : `CASE WHEN length(${v}) <= ${field.maxLength} THEN ${v} END`;
    case 'date': return `CASE WHEN try_cast(${v} AS DATE)::VARCHAR = ${v} THEN try_cast(${v} AS DATE) END`;
    case 'integer': return `CASE WHEN regexp_full_match(${v}, '-?[0-9]{1,9}(\\.0+)?') THEN try_cast(${v} AS DOUBLE)::INTEGER END`;
    case 'number': return `CASE WHEN regexp_full_match(${v}, '-?[0-9]+(\\.[0-9]+)?([eE]-?[0-9]{1,2})?') THEN try_cast(${v} AS DOUBLE) END`;
    case 'code': return field.list === null ? v : `try_cast(${v} AS ${codeType(field.list)})`;
    case 'codes': return `CASE WHEN list_has_all([${field.codes.map((c) => quoteText(c.code)).join(', ')}], string_split(${v}, ';')) THEN ${v} END`;
  }
}

function accepted(field: Field): string {
  const p = `p_${field.name}`;
  if (field.kind === 'date') return `${p} BETWEEN DATE '${firstDay}' AND DATE '${lastDay}'`;
  if (field.min !== null && field.max !== null) return `${p} BETWEEN ${field.min} AND ${field.max}`;
  return 'true';
}
