import type { ExtractFile } from '../../lib/intake/extractFile';
import { fieldsOf, tableNames } from '../../lib/contract/fields';
import type { TableName } from '../../lib/contract/tables';

type Row = Readonly<Record<string, string | number | null>>;
export type SmallExtract = Partial<Record<TableName, readonly Row[]>>;

const common: Record<TableName, Row> = {
  registry: { name: 'Harbour registry', version: '1', opened: '2000-01-01', closing_date: '2020-12-31', deaths_closing_date: '2020-12-31' },
  models: { maker_code: 'K01' },
  procedures: {
    procedure_date: '2010-01-01', joint: 'shoulder', side: 'left', class: 'anatomic_total', indication: 'osteoarthritis', age_years: 70,
    sex: 'female', hospital_id: 'H1', surgeon_id: 'S1',
  },
  components: { role: 'glenoid', model_code: 'G01', design_class: 'all_poly_pegged' },
  revisions: { joint: 'shoulder', side: 'left', kind: 'major', reasons: 'glenoid_loosening' },
  deaths: {},
  followups: { visit: '1y' },
};

/** The CSV text of rows: every field of the contract, what a row leaves out is taken from what the rows of its table have in common. */
export function csv(table: TableName, rows: readonly Row[]): string {
  const names = fieldsOf(table).map(({ name }) => name);
  const cell = (value: string | number | null | undefined): string =>
    value === null || value === undefined ? '' : /[",\n]/.test(String(value)) ? `"${String(value).replaceAll('"', '""')}"` : String(value);
  return [names.join(','), ...rows.map((row) => names.map((name) => cell({ ...common[table], ...row }[name])).join(',')), ''].join('\n');
}

export const textFile = (name: string, text: string | Uint8Array<ArrayBuffer>): ExtractFile => ({ name, content: new Blob([text]) });

/** An extract of a few rows. Tables left out: one registry row, one pegged glenoid model, no rows otherwise. */
export function smallExtract(extract: SmallExtract): ExtractFile[] {
  const rows: SmallExtract = { registry: [{}], models: [{ model_code: 'G01', role: 'glenoid', design_class: 'all_poly_pegged' }], ...extract };
  return tableNames.map((table) => textFile(`${table}.csv`, csv(table, rows[table] ?? [])));
}
