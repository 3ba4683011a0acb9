import * as codes from '@/lib/contract/codes';
import { quoteName, type Database, type Parameter } from '@/lib/engine/database';
import { componentColumn } from '@/lib/engine/followupTable';
import { openNodeDatabase } from '@/lib/engine/node';

/** A row of `followup`; what is left out is an unremarkable shoulder replacement with a pegged glenoid component, unrevised at 10 years. */
export type FollowupRow = Partial<Record<string, Parameter>>;

const usual: FollowupRow = {
  patient_known: true, hospital: 'H1', surgeon: 'S1', region: 'north', joint: 'shoulder', side: 'right', class: 'anatomic_total', indication: 'osteoarthritis',
  sex: 'female', approach: 'deltopectoral', proximal_fixation: 'cemented', distal_fixation: 'uncemented', year: 2010, procedure_day: 14610, age: 70, asa: 2,
  bmi: 27, entry_day: null, exit_day: 3653, ending: 'censored', kind: null, reason: null, removed: null,
  glenoid_model: 'G-10', glenoid_design: 'all_poly_pegged', glenoid_material: 'polyethylene_conventional',
};

const enums: Record<string, readonly string[]> = {
  joint: codes.joints, side: codes.codesOf(codes.sideCodes), class: codes.codesOf(codes.procedureClassCodes),
  indication: codes.codesOf(codes.indicationCodes), sex: codes.codesOf(codes.sexCodes), approach: codes.codesOf(codes.approachCodes),
  proximal_fixation: codes.codesOf(codes.fixationCodes), distal_fixation: codes.codesOf(codes.fixationCodes),
  ending: ['censored', 'revision', 'death'], kind: ['major', 'minor', 'unspecified'], reason: codes.codesOf(codes.reasonCodes),
};
const numeric: Record<string, string> = {
  procedure: 'INTEGER', patient: 'INTEGER', patient_known: 'BOOLEAN', year: 'SMALLINT', procedure_day: 'INTEGER', age: 'UTINYINT', asa: 'UTINYINT', bmi: 'FLOAT',
  entry_day: 'INTEGER', exit_day: 'INTEGER', removed: 'UINTEGER',
};
const designs = codes.codesOf(codes.designClassCodes);
const materials = codes.codesOf(codes.materialCodes);
const enumSql = (values: readonly string[]): string => `ENUM(${[...new Set(values)].map((v) => `'${v.replaceAll("'", "''")}'`).join(', ')})`;

const rowsAtOnce = 100; // one by one takes most of a test's time

/** A database in memory that holds the table `followup` with these rows, as lib/engine/followupTable.ts describes it. */
export async function followupDatabase(rows: readonly FollowupRow[]): Promise<Database> {
  const full = rows.map((row, i): FollowupRow => ({ procedure: i, patient: i, ...usual, ...row }));
  const identifiers = (column: string) => full.flatMap((row) => (typeof row[column] === 'string' ? [row[column]] : []));
  const types: Record<string, string> = {
    ...numeric,
    ...Object.fromEntries(Object.entries(enums).map(([column, values]) => [column, enumSql(values)])),
    ...Object.fromEntries(['hospital', 'surgeon', 'region'].map((column) => [column, enumSql(identifiers(column))])),
    ...Object.fromEntries(codes.roleCodes.flatMap(({ code }) => [
      [componentColumn(code, 'model'), enumSql(['none', ...identifiers(componentColumn(code, 'model'))])],
      [componentColumn(code, 'design'), enumSql(designs)],
      [componentColumn(code, 'material'), enumSql(materials)],
    ])),
  };
  const database = await openNodeDatabase();
  const definition = Object.entries(types).map(([column, type]) => `${quoteName(column)} ${type}`).join(', ');
  await database.query({ sql: `CREATE TABLE followup (${definition})`, params: [] });
  const columns = Object.keys(types), place = `(${columns.map(() => '?').join(', ')})`;
  for (let from = 0; from < full.length; from += rowsAtOnce) {
    const block = full.slice(from, from + rowsAtOnce);
    await database.query({
      sql: `INSERT INTO followup (${columns.map(quoteName).join(', ')}) VALUES ${block.map(() => place).join(', ')}`,
      params: block.flatMap((row) => columns.map((c) => row[c] ?? null)),
    });
  }
  return database;
}

/** The rows of a result as objects, numbers as they are. */
export const rowsOf = async <K extends string>(database: Database, query: Parameters<Database['query']>[0], ...columns: readonly K[]) => {
  const result = await database.query(query);
  const values = columns.map((name) => {
    try {
      return [...result.numbers(name)];
    } catch {
      return result.texts(name);
    }
  });
  return Array.from({ length: result.rowCount }, (_, i) =>
    Object.fromEntries(columns.map((name, c) => [name, values[c]![i] ?? null])) as Record<K, number | string | null>);
};
