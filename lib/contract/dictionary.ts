import { rules, type Severity } from './rules';
import { fieldsOf, setsRecordAside, tableNames, type Field } from './fields';
import { tables, type TableName } from './tables';

/** A field in words, for the page of the data dictionary. */
export interface DictionaryField {
  readonly name: string;
  readonly description: string;
  readonly kind: string;
  readonly allowed: string | null; // the limits in words; null: none beyond the kind
  readonly required: boolean;
  readonly unit: string | null;
  readonly codes: readonly { readonly code: string; readonly label: string; readonly joints: string | null }[];
  readonly ifBad: string; // what happens to a value that can't be accepted
}

export interface DictionaryTable {
  readonly name: TableName;
  readonly title: string;
  readonly grain: string;
  readonly required: boolean;
  readonly key: readonly string[];
  readonly fields: readonly DictionaryField[];
}

export interface DictionaryRule {
  readonly id: string;
  readonly title: string;
  readonly severity: Severity;
}

/** The data dictionary: every table, field, code and rule of the contract. */
export function dictionary(): { readonly tables: readonly DictionaryTable[]; readonly rules: readonly DictionaryRule[] } {
  return {
    tables: tableNames.map((name) => ({
      name, title: tables[name].title, grain: tables[name].grain, required: tables[name].required, key: tables[name].primaryKey,
      fields: fieldsOf(name).map(inWords),
    })),
    rules: Object.entries(rules).map(([id, { title, severity }]) => ({ id, title, severity })),
  };
}

const kinds: Record<Field['kind'], string> = {
  text: 'text', date: 'day, as YYYY-MM-DD', integer: 'whole number', number: 'number, with a decimal point', code: 'one code of the list',
  codes: 'codes of the list, joined with ;',
};

const inWords = (field: Field): DictionaryField => ({
  name: field.name,
  description: field.description,
  kind: kinds[field.kind],
  allowed: limits(field),
  required: field.required,
  unit: field.unit,
  codes: field.codes.map(({ code, label, joints }) => ({ code, label, joints: joints === undefined ? null : joints.join(', ') })),
  ifBad: setsRecordAside(field) ? 'the record is set aside' : 'the value is set aside, the record stays',
});

function limits({ min, max, maxLength }: Field): string | null {
  if (min !== null && max !== null) return `${min} to ${max}`;
  return maxLength === null ? null : `at most ${maxLength} characters`;
}
