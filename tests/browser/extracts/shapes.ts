import { gzipSync } from 'node:zlib';
import { DateDay, Table, tableToIPC, vectorFromArray } from 'apache-arrow';
import { strToU8, zipSync } from 'fflate';
import { parquetWriteBuffer } from 'hyparquet-writer';
import writeExcel from 'write-excel-file/node';
import { csvLine } from '../../../lib/contract/csvText';
import { fieldsOf, tableNames } from '../../../lib/contract/fields';
import type { TableName } from '../../../lib/contract/tables';
import { parquetElements } from '../../../sample-registry/parquetFiles';
import type { Row } from '../../../sample-registry/sink';
import { foreignCodes, foreignNames } from './foreignWords';
import { jointOf, type Tables } from './truth';

// One truth as different people keep it. Everything is invented.

export interface BroughtFile { readonly name: string; readonly mimeType: string; readonly buffer: Buffer }
type Cell = string | number | null;
type Sheet = readonly (readonly Cell[])[]; // the first row is the header

const file = (name: string, content: string | Uint8Array): BroughtFile =>
  ({ name, mimeType: 'application/octet-stream', buffer: typeof content === 'string' ? Buffer.from(content) : Buffer.from(content) });

const sheetOf = (rows: readonly Row[], fields: readonly string[], names: readonly string[] = fields, change: (field: string, value: Cell) => Cell = (_, v) => v): Sheet =>
  [names, ...rows.map((row) => fields.map((field) => change(field, row[field] ?? null)))];

const isDay = (value: Cell): boolean => typeof value === 'string' && /^\d{4}-\d\d-\d\d$/.test(value);
const utc = (iso: Cell): Date => new Date(`${String(iso)}T00:00:00Z`);
const dayParts = (iso: Cell) => { const [year = '', month = '', day = ''] = String(iso).split('-'); return { year, month, day }; };
const dayMonthYear = (iso: Cell): string => { const { year, month, day } = dayParts(iso); return `${day}.${month}.${year}`; };
const slashes = (iso: Cell): string => { const { year, month, day } = dayParts(iso); return `${day}/${month}/${year}`; };
const used = (rows: readonly Row[], table: TableName): readonly string[] =>
  fieldsOf(table).map(({ name }) => name).filter((name) => rows.some((row) => (row[name] ?? null) !== null));

/** (a) The data package as it is, in one zip. */
export function dataPackage(truth: Tables): readonly BroughtFile[] {
  const csv = (table: TableName) => sheetOf(truth[table], fieldsOf(table).map(({ name }) => name)).map(csvLine).join('');
  return [file('extract.zip', zipSync(Object.fromEntries(tableNames.map((table) => [`${table}.csv`, strToU8(csv(table))]))))];
}

/** (b) Semicolons, Windows-1252, decimal commas, days as 31.12.2024, names and codes of their own; no column says which joint. */
export function foreignTables(truth: Tables, { only = () => true }: { readonly only?: (procedure: Row) => boolean } = {}): readonly BroughtFile[] {
  const procedures = truth.procedures.filter(only);
  const patients = new Set(procedures.map((row) => row['patient_id'])), keys = new Set(procedures.map((row) => row['procedure_id']));
  const kept = { ...truth, procedures, components: truth.components.filter((row) => keys.has(row['procedure_id'])), revisions: truth.revisions.filter((row) => patients.has(row['patient_id'])), deaths: truth.deaths.filter((row) => patients.has(row['patient_id'])) };
  const cell = (field: string, value: Cell): Cell => {
    if (isDay(value)) return dayMonthYear(value);
    if (typeof value === 'number') return String(value).replace('.', ',');
    if (value === null) return field === 'asa_grade' ? 'k.A.' : null;
    return field === 'reasons' || field === 'components_removed' ? value.split(';').map((code) => foreignCodes[code] ?? code).join('+') : foreignCodes[value] ?? value;
  };
  return (['procedures', 'components', 'models', 'revisions', 'deaths'] as const).map((table) => {
    const fields = used(kept[table], table).filter((name) => name !== 'joint');
    const rows = sheetOf(kept[table], fields, fields.map((name) => foreignNames[name] ?? name), cell);
    return file(`${foreignNames[table] ?? table}.csv`, Buffer.from(rows.map((row) => `${row.map((value) => value ?? '').join(';')}\r\n`).join(''), 'latin1'));
  });
}

const wideRoles = ['glenoid', 'humeral_stem', 'humeral_head', 'glenosphere', 'humeral_insert'] as const;

/** (c) One row a procedure: a group of columns for each role, for two re-operations and for the death. Days are written as 31/12/2024. */
export function wideTable(truth: Tables): readonly BroughtFile[] {
  const components = new Map(truth.components.map((row) => [`${row['procedure_id'] ?? ''} ${row['role'] ?? ''}`, row]));
  const deaths = new Map(truth.deaths.map((row) => [row['patient_id'], row['death_date'] ?? null]));
  const revisions = new Map<string, Row[]>();
  for (const row of truth.revisions) revisions.set(jointOf(row), [...(revisions.get(jointOf(row)) ?? []), row]);
  const ofProcedure = used(truth.procedures, 'procedures').filter((name) => name !== 'joint');
  const ofComponent = ['model_code', 'design_class', 'material'], ofRevision = ['revision_id', 'revision_date', 'kind', 'reasons', 'components_removed'];
  const header = [
    ...ofProcedure, ...wideRoles.flatMap((role) => ofComponent.map((name) => `${role}_${name}`)),
    ...[1, 2].flatMap((n) => ofRevision.map((name) => `${name}_${n}`)), 'death_date',
  ];
  const rows = truth.procedures.map((row) => {
    const again = revisions.get(jointOf(row)) ?? [];
    return [
      ...ofProcedure.map((name) => row[name] ?? null),
      ...wideRoles.flatMap((role) => { const one = components.get(`${row['procedure_id'] ?? ''} ${role}`); return ofComponent.map((name) => one?.[name] ?? null); }),
      ...[0, 1].flatMap((n) => ofRevision.map((name) => again[n]?.[name] ?? null)),
      deaths.get(row['patient_id'] ?? null) ?? null,
    ].map((value) => (isDay(value) ? slashes(value) : value));
  });
  return [file('joint_followup_wide.csv', [header, ...rows].map(csvLine).join(''))];
}

const plainNames: Readonly<Record<string, string>> = {
  procedure_id: 'Operation', patient_id: 'Patient', procedure_date: 'Date of operation', joint: 'Joint', side: 'Side', class: 'Type of replacement',
  indication: 'Diagnosis', age_years: 'Age', sex: 'Sex', asa_grade: 'ASA', bmi: 'BMI', approach: 'Approach', proximal_fixation: 'Fixation glenoid',
  distal_fixation: 'Fixation humerus', hospital_id: 'Hospital', surgeon_id: 'Surgeon', region: 'Region', follow_up_start: 'Follow-up from',
  follow_up_end: 'Follow-up until', role: 'Part', model_code: 'Model', design_class: 'Design', material: 'Material', size: 'Size', maker_code: 'Maker',
  fixation_intended: 'Intended fixation', bearing_material: 'Bearing', first_used: 'First used', last_used: 'Last used', revision_id: 'Revision',
  revision_date: 'Date of revision', kind: 'Kind', reasons: 'Reasons', components_removed: 'Parts removed', death_date: 'Date of death',
};

/** (d) A workbook with a sheet a table, days as days. */
export async function workbook(truth: Tables): Promise<readonly BroughtFile[]> {
  const sheets = (['procedures', 'components', 'models', 'revisions', 'deaths'] as const).map((table) => {
    const fields = used(truth[table], table);
    const [header = [], ...rows] = sheetOf(truth[table], fields, fields.map((name) => plainNames[name] ?? name));
    return {
      sheet: { procedures: 'Operations', components: 'Implants', models: 'Catalogue', revisions: 'Revisions', deaths: 'Deaths' }[table],
      data: [header.map((value) => ({ value: String(value) })), ...rows.map((row) => row.map((value) =>
        (isDay(value) ? { value: utc(value), type: Date, format: 'dd/mm/yyyy' } : value === null ? null : { value })))],
    };
  });
  return [file('Registry 2024.xlsx', await writeExcel(sheets).toBuffer())];
}

/** (e) UTF-16 text with tabs, packed with gzip, the procedures in two files by year. */
export function utf16Files(truth: Tables): readonly BroughtFile[] {
  const packed = (name: string, table: TableName, rows: readonly Row[]) => {
    const text = sheetOf(rows, used(truth[table], table)).map((row) => `${row.map((value) => value ?? '').join('\t')}\n`).join('');
    return file(name, gzipSync(Buffer.from(`\uFEFF${text}`, 'utf16le')));
  };
  const year = (row: Row): number => Number(String(row['procedure_date']).slice(0, 4));
  return [
    packed('primaries_2005-2014.txt.gz', 'procedures', truth.procedures.filter((row) => year(row) < 2015)),
    packed('primaries_2015-2024.txt.gz', 'procedures', truth.procedures.filter((row) => year(row) >= 2015)),
    packed('implants.txt.gz', 'components', truth.components), packed('catalogue.txt.gz', 'models', truth.models),
    packed('reoperations.txt.gz', 'revisions', truth.revisions), packed('deaths.txt.gz', 'deaths', truth.deaths),
  ];
}

/** (f) Parquet, a file a table, typed, with the names of a statistician. */
export function parquetTables(truth: Tables): readonly BroughtFile[] {
  return (['procedures', 'components', 'models', 'revisions', 'deaths'] as const).map((table) => {
    const fields = fieldsOf(table).filter(({ name }) => used(truth[table], table).includes(name));
    const named = fields.map(({ name }) => (plainNames[name] ?? name).replaceAll(' ', ''));
    return file(`arthroplasty_${table}.parquet`, new Uint8Array(parquetWriteBuffer({
      schema: [{ name: 'root', num_children: fields.length }, ...fields.map(({ kind }, i) => ({ name: named[i] ?? '', ...parquetElements[kind] }))],
      columnData: fields.map(({ name }, i) => ({
        name: named[i] ?? '', data: truth[table].map((row) => { const value = row[name] ?? null; return isDay(value) ? utc(value) : value; }),
      })),
    })));
  });
}

/** (g) Arrow, a stream a table: texts as dictionaries, days as days. */
export function arrowTables(truth: Tables): readonly BroughtFile[] {
  return (['procedures', 'components', 'models', 'revisions', 'deaths'] as const).map((table) => {
    const columns = used(truth[table], table).map((name) => {
      const values = truth[table].map((row) => row[name] ?? null);
      return [name, values.some(isDay) ? vectorFromArray(values.map((value) => (value === null ? null : utc(value))), new DateDay()) : vectorFromArray(values)] as const;
    });
    return file(`${table}.arrow`, tableToIPC(new Table(Object.fromEntries(columns)), 'stream'));
  });
}
