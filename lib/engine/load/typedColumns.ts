import { fieldsOf, setsRecordAside, type Field, type FieldKind } from '../../contract/fields';
import type { RuleId } from '../../contract/rules';
import { tables, type TableName } from '../../contract/tables';
import { quoteName, quoteText } from '../database';
import { codeType } from './codeTypes';

/** A way for one cell to be wrong. `where` is SQL over the columns `v_…` (text) and `p_…` (parsed) of the field. */
interface CellCheck {
  readonly field: TypedField;
  readonly rule: RuleId;
  readonly where: string;
}

/** Types the columns of a table: which cell checks there are, and the SELECT that applies them. */
export interface TypedColumns {
  readonly checks: readonly CellCheck[];
  /** The columns that `select` gives, with their types. */
  readonly definition: readonly (readonly [name: string, type: string])[];
  /** Columns: `record`, one per field (null where not accepted), `failed` (index of the check that sets the record aside, else null),
   * `cells` (list of {check, value}: the cell that failed, or the values set aside in a record that stays; null: none). */
  readonly select: (source: string) => string;
}

export const firstDay = '1900-01-01', lastDay = '2100-12-31'; // calendar days outside are slips of the pen or markers for `unknown`
const longestShown = 200;

/** What a source of records holds. */
export interface Present {
  readonly fields: ReadonlySet<string>; // the others are read as empty
  /** Fields that it holds in their own type, every value within the limits of the field; the others are text. */
  readonly typed?: ReadonlySet<string>;
  /** The column that holds what stands in the file; without it, the field's own. */
  readonly original?: (field: string) => string;
}

export function typedColumns(table: TableName, { fields: present, typed, original }: Present = { fields: new Set() }): TypedColumns {
  const fields = typedFields(table), checks = fields.flatMap(cellChecks);
  /** Nothing but its absence can be wrong with it. */
  const isSound = ({ name }: TypedField): boolean => !present.has(name) || typed?.has(name) === true;
  const indexed = checks.map((check, index) => ({ check, index })).filter(({ check: { field, rule } }) => rule === 'missing' || !isSound(field));
  const ofRecord = indexed.filter(({ check }) => setsRecordAside(check.field));
  const ofValue = indexed.filter(({ check }) => !setsRecordAside(check.field));
  const seen = ({ name }: TypedField): string => `${original === undefined ? 'v' : 'o'}_${name}`;
  // A cell of several lines may have swallowed other records through a stray quote, with their keys.
  const shown = ({ field }: CellCheck): string =>
    (field.identifies || isSound(field) ? 'NULL' : `CASE WHEN NOT contains(${seen(field)}, chr(10)) THEN left(${seen(field)}, ${longestShown}) END`);
  const cell = ({ check, index }: { check: CellCheck; index: number }): string =>
    `CASE WHEN ${check.where} THEN {'check': ${index}::UTINYINT, 'value': ${shown(check)}::VARCHAR} END`;
  const anyOf = (some: typeof indexed): string => (some.length === 0 ? 'false' : some.map(({ check }) => check.where).join(' OR '));
  const failed = ofRecord.length === 0 ? 'NULL' : `CASE ${ofRecord.map(({ check, index }) => `WHEN ${check.where} THEN ${index}`).join(' ')} END`;
  const cells = [
    ...(ofRecord.length === 0 ? [] : [`WHEN ${anyOf(ofRecord)} THEN [coalesce(${ofRecord.map(cell).join(', ')})]`]),
    ...(ofValue.length === 0 ? [] : [`WHEN ${anyOf(ofValue)} THEN [${ofValue.map(cell).join(', ')}]`]),
  ];
  const source = (f: TypedField): string => (isSound(f) ? `${present.has(f.name) ? quoteName(f.name) : 'NULL'}::${typeOf(f)}` : `${quoteName(f.name)}::VARCHAR`);
  const originals = original === undefined ? [] : fields.filter((f) => !isSound(f)).map((f) => `${quoteName(original(f.name))}::VARCHAR AS o_${f.name}`);

  // What is wrong is worked out for odd records only, of which there are few.
  const select = (from: string): string => `
    SELECT record, ${fields.map((f) => `${isSound(f) ? `v_${f.name}` : kept(f)} AS ${quoteName(f.name)}`).join(', ')},
      CASE WHEN odd THEN ${failed} END::UTINYINT AS failed,
      ${cells.length === 0 ? 'NULL' : `CASE WHEN odd THEN CASE ${cells.join(' ')} END END`} AS cells
    FROM (SELECT *, ${anyOf(indexed)} AS odd
      FROM (SELECT ${['*', ...fields.filter((f) => !isSound(f)).map((f) => `${parsed(f)} AS p_${f.name}`)].join(', ')}
        FROM (SELECT ${['record', ...fields.map((f) => `${source(f)} AS v_${f.name}`), ...originals].join(', ')} FROM ${from})))`;
  const definition = [['record', 'INTEGER'], ...fields.map((f) => [f.name, typeOf(f)] as const), ['failed', 'UTINYINT'], ['cells', 'STRUCT("check" UTINYINT, "value" VARCHAR)[]']] as const;
  return { checks, definition, select };
}

/** SQL over the column `v_…` (text) of a field: `parsed` makes `p_…` of it; over both, the value that is kept and whether it is there and nothing is wrong with it. */
export function cellReading(field: TypedField): { readonly parsed: string; readonly value: string; readonly isSound: string } {
  const wrong = cellChecks(field).map(({ where }) => where);
  return { parsed: `${parsed(field)} AS p_${field.name}`, value: kept(field), isSound: `(v_${field.name} IS NOT NULL AND NOT (${wrong.join(' OR ')}))` };
}

/** The fields of a table as the database types them. */
export const typedFields = (table: TableName): readonly TypedField[] =>
  fieldsOf(table).map((field) => (isCatalogued(table, field) ? { ...field, kind: 'model' as const } : field));

/** A field that holds a key of the catalogue is typed by `model_code`, made of it before: its models, or any text where there is none. */
export type TypedField = Omit<Field, 'kind'> & { readonly kind: FieldKind | 'model' };
const isCatalogued = (table: TableName, { name }: Field): boolean => tables[table].references.some(({ field, to }) => field === name && to === 'models');

const typeRules: Record<TypedField['kind'], RuleId> = {
  text: 'too_long', date: 'not_a_date', integer: 'not_a_whole_number', number: 'not_a_number', code: 'unknown_code', codes: 'unknown_code',
  model: 'not_in_catalogue',
};

function typeOf(field: TypedField): string {
  switch (field.kind) {
    case 'text': case 'codes': return 'VARCHAR';
    case 'date': return 'DATE';
    case 'integer': return 'INTEGER';
    case 'number': return 'DOUBLE';
    case 'model': return 'model_code';
    case 'code': return field.list === null ? 'VARCHAR' : codeType(field.list);
  }
}

function cellChecks(field: TypedField): CellCheck[] {
  const v = `v_${field.name}`, p = `p_${field.name}`;
  const checks: CellCheck[] = [];
  if (field.required) checks.push({ field, rule: 'missing', where: `${v} IS NULL` });
  checks.push({ field, rule: typeRules[field.kind], where: `(${v} IS NOT NULL AND ${p} IS NULL)` });
  if (accepted(field) !== 'true') checks.push({ field, rule: 'out_of_range', where: `(${p} IS NOT NULL AND NOT ${accepted(field)})` });
  return checks;
}

/** Exactly one way of writing is accepted, so that nothing is guessed: TRY_CAST alone would take 12.7 for 13 and 2011/3/4 for a date. */
function parsed(field: TypedField): string {
  const v = `v_${field.name}`;
  switch (field.kind) {
    case 'text': return field.maxLength === null ? v : `CASE WHEN length(${v}) <= ${field.maxLength} THEN ${v} END`;
    case 'date': return `CASE WHEN try_cast(${v} AS DATE)::VARCHAR = ${v} THEN try_cast(${v} AS DATE) END`;
    case 'integer': return `CASE WHEN regexp_full_match(${v}, '-?[0-9]{1,9}(\\.0+)?') THEN try_cast(${v} AS DOUBLE)::INTEGER END`;
    case 'number': return `CASE WHEN regexp_full_match(${v}, '-?[0-9]+(\\.[0-9]+)?([eE]-?[0-9]{1,2})?') THEN try_cast(${v} AS DOUBLE) END`;
    case 'model': return `try_cast(${v} AS model_code)`;
    case 'code': return field.list === null ? v : `try_cast(${v} AS ${codeType(field.list)})`;
    case 'codes': return `CASE WHEN list_has_all([${field.codes.map((c) => quoteText(c.code)).join(', ')}], string_split(${v}, ';')) THEN ${v} END`;
  }
}

/** What becomes of a cell: null where it can't be accepted. */
const kept = (field: TypedField): string => (accepted(field) === 'true' ? `p_${field.name}` : `CASE WHEN ${accepted(field)} THEN p_${field.name} END`);

function accepted(field: TypedField): string {
  const p = `p_${field.name}`;
  if (field.kind === 'date') return `${p} BETWEEN DATE '${firstDay}' AND DATE '${lastDay}'`;
  if (field.min !== null && field.max !== null) return `${p} BETWEEN ${field.min} AND ${field.max}`;
  return 'true';
}
