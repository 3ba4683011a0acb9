import { describe, expect, it } from 'vitest';
import { codeLists } from '../../lib/contract/codes';
import { dictionary } from '../../lib/contract/dictionary';
import { fieldsOf, tableNames } from '../../lib/contract/fields';
import { tables } from '../../lib/contract/tables';

describe('fields, read from the schemas', () => {
  it.each([
    ['procedures', 'age_years', { kind: 'integer', required: false, core: true, min: 10, max: 110, unit: 'years', emptyHasMeaning: false }],
    ['procedures', 'bmi', { kind: 'number', required: false, min: 10, max: 80, unit: 'kg/m²', emptyHasMeaning: false }],
    ['procedures', 'follow_up_end', { kind: 'date', required: false, emptyHasMeaning: true }],
    ['procedures', 'patient_id', { kind: 'text', required: false, core: true, maxLength: 64, identifies: true }],
    ['procedures', 'hospital_id', { kind: 'text', required: false, core: true, identifies: false }],
    ['procedures', 'approach', { kind: 'code', required: false, list: 'approach' }],
    ['revisions', 'procedure_id', { kind: 'text', required: false, emptyHasMeaning: true, identifies: true }],
    ['revisions', 'reasons', { kind: 'codes', required: false, list: 'reason' }],
  ] as const)('%s.%s', (table, name, expected) => {
    expect(fieldsOf(table).find((field) => field.name === name)).toMatchObject(expected);
  });

  it('every field says what it is, and what empty means where it may be empty', () => {
    for (const table of tableNames) for (const { name, description, required } of fieldsOf(table)) {
      expect(description, `${table}.${name}`).toMatch(required ? /\.$/ : /[Ee]mpty: .*\./);
    }
  });

  it('keys and references are fields of their tables', () => {
    for (const table of tableNames) {
      const names = fieldsOf(table).map(({ name }) => name);
      expect(names).toEqual(expect.arrayContaining([...tables[table].primaryKey, ...tables[table].references.map(({ field }) => field)]));
    }
  });

  it('no code stands twice in a list, and every code and key is safe to splice into SQL', () => {
    for (const list of Object.values(codeLists)) {
      const codes = list.map(({ code }) => code);
      expect(new Set(codes).size).toBe(codes.length);
      for (const code of codes) expect(code).toMatch(/^[a-z0-9_]+$/);
    }
    for (const table of tableNames) for (const { name } of fieldsOf(table)) expect(name).toMatch(/^[a-z_]+$/);
  });
});

describe('the dictionary', () => {
  const { tables: described, rules } = dictionary();
  const fieldOf = (table: string, name: string) => described.find((t) => t.name === table)?.fields.find((f) => f.name === name);

  it('says limits, codes and what becomes of bad values in words', () => {
    expect(fieldOf('procedures', 'bmi')).toMatchObject({ kind: 'number, with a decimal point', allowed: '10 to 80', unit: 'kg/m²', ifBad: 'the value is set aside, the record stays' });
    expect(fieldOf('procedures', 'follow_up_end')).toMatchObject({ kind: 'day, as YYYY-MM-DD', required: false, ifBad: 'the record is set aside' });
    expect(fieldOf('procedures', 'approach')?.codes[0]).toEqual({ code: 'deltopectoral', label: 'Deltopectoral', joints: 'shoulder' });
    expect(fieldOf('revisions', 'reasons')?.kind).toBe('codes of the list, joined with ;');
  });

  it('holds every table, field and rule', () => {
    expect(described.map(({ name, fields }) => [name, fields.length])).toEqual(tableNames.map((name) => [name, Object.keys(tables[name].schema.shape).length]));
    expect(rules.length).toBeGreaterThan(20);
  });
});
