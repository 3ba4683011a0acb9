import { fieldsOf, type Field } from '../../contract/fields';
import type { TableName } from '../../contract/tables';
import { quoteName, quoteText, sql, type Database } from '../../engine/database';
import { placesOf, hospitalCode, type Places } from '../places';
import type { Share } from '../share';
import { fieldLabel, withoutField } from './fieldNotes';

/** One field over the kept records of its table: records = recorded + setAside + empty. */
export interface FieldCompleteness {
  readonly table: TableName;
  readonly field: string;
  readonly label: string;
  readonly records: number;
  readonly recorded: number;
  readonly setAside: number; // values that broke a rule: not recorded, yet something stood there
  readonly empty: number;
  readonly without: string | null; // what can't be done, where nothing at all is recorded
  /** Recorded per hospital and per year, in the order of `Completeness`: of the procedure, of a re-operation the year it was done in. Empty for `models`. */
  readonly byHospital: readonly Share[];
  readonly byYear: readonly Share[];
}

export interface Completeness extends Places {
  readonly fields: readonly FieldCompleteness[];
  /** Values set aside in kept procedures and re-operations, where they stood. */
  readonly setAside: readonly { readonly label: string; readonly table: TableName; readonly hospital: number; readonly year: number; readonly count: number }[];
}

const of = (table: TableName, all: readonly Field[]): readonly Field[] =>
  all.filter(({ name, required, emptyHasMeaning }) => (table === 'revisions' ? ofRevisions.has(name) : !required && !emptyHasMeaning));
/** Patient, joint and side of a re-operation only serve to link it: once it is linked they are those of its procedure. */
const ofRevisions: ReadonlySet<string> = new Set(['procedure_id', 'kind', 'reasons', 'components_removed']);

/** A table's records beside the hospital and the year that they count for. `recorded`: SQL of whether a field is. */
const sources = {
  procedures: {
    from: '(SELECT * EXCLUDE (hospital_id), procedures.hospital_id AS hospital, year(procedure_date)::INTEGER AS at_year FROM procedures)',
    recorded: (field: string) => `${quoteName(field === 'hospital_id' ? 'hospital' : field)} IS NOT NULL`,
  },
  components: {
    from: '(SELECT c.*, f.hospital, f.year::INTEGER AS at_year FROM components c JOIN followup f USING (procedure))',
    recorded: (field: string) => `${quoteName(field)} IS NOT NULL`,
  },
  revisions: {
    from: '(SELECT r.*, f.hospital, year(r.revision_date)::INTEGER AS at_year FROM revisions r JOIN followup f USING (procedure))',
    recorded: (field: string) => (field === 'procedure_id' ? 'linked_by_id' : field === 'kind' ? "kind <> 'unspecified'" : `${quoteName(field)} IS NOT NULL`),
  },
} as const;
type Source = keyof typeof sources;

/** Share recorded of every field that may be empty, in the kept records. One grouped query a table. */
export async function completeness(database: Database): Promise<Completeness> {
  const places = await placesOf(database), years = new Set(places.years);
  const cells = new Map<Source, Awaited<ReturnType<typeof cellsOf>>>();
  for (const table of Object.keys(sources) as Source[]) {
    const found = await cellsOf(database, table, places.position);
    cells.set(table, found);
    for (const year of found.years) years.add(year);
  }
  const allYears = [...years].sort((a, b) => a - b), yearAt = new Map(allYears.map((year, i) => [year, i]));
  const setAside = await setAsideCounts(database);
  const fields = (Object.keys(sources) as Source[]).flatMap((table) => {
    const { hospitals, years: at, records, fields: counted } = cells.get(table)!;
    const total = records.reduce((sum, n) => sum + n, 0);
    return [...counted].map(([field, recorded]): FieldCompleteness => {
      const byHospital = places.hospitals.map(() => ({ count: 0, of: 0 })), byYear = allYears.map(() => ({ count: 0, of: 0 }));
      recorded.forEach((n, row) => {
        for (const cell of [byHospital[hospitals[row]!]!, byYear[yearAt.get(at[row]!)!]!]) {
          cell.count += n;
          cell.of += records[row]!;
        }
      });
      return { ...overall(table, field, total, recorded.reduce((sum, n) => sum + n, 0), setAside), byHospital, byYear };
    });
  });
  return {
    hospitals: places.hospitals, years: allYears,
    fields: [...fields, ...await modelFields(database, setAside)],
    setAside: await setAsidePlaces(database, places.position, yearAt),
  };
}

function overall(table: TableName, field: string, records: number, recorded: number, setAside: ReadonlyMap<string, number>) {
  const aside = setAside.get(`${table}.${field}`) ?? 0;
  return {
    table, field, label: fieldLabel(field), records, recorded, setAside: aside, empty: records - recorded - aside,
    without: recorded === 0 && records > 0 ? withoutField(table, field) : null,
  };
}

async function cellsOf(database: Database, table: Source, position: (code: number) => number) {
  const fields = of(table, fieldsOf(table)), { from, recorded } = sources[table];
  const counts = fields.map(({ name }) => `count(*) FILTER (WHERE ${recorded(name)})::INTEGER AS ${quoteName(`n_${name}`)}`);
  const rows = await database.query(sql(`SELECT ${hospitalCode} AS place, at_year, count(*)::INTEGER AS records, ${counts.join(', ')} FROM ${from} GROUP BY 1, 2 ORDER BY 1, 2`));
  return {
    hospitals: Array.from(rows.numbers('place'), position), years: rows.numbers('at_year'), records: rows.numbers('records'),
    fields: new Map(fields.map(({ name }) => [name, rows.numbers(`n_${name}`)])),
  };
}

/** Values set aside of records that were kept, by `table.field`. */
async function setAsideCounts(database: Database): Promise<ReadonlyMap<string, number>> {
  const rows = await database.query(sql(`SELECT "table" || '.' || field AS name, count(DISTINCT record)::INTEGER AS n FROM set_aside WHERE scope = 'value' GROUP BY 1`));
  return new Map(rows.texts('name').map((name, i) => [name ?? '', rows.numbers('n')[i]!]));
}

async function setAsidePlaces(database: Database, position: (code: number) => number, yearAt: ReadonlyMap<number, number>): Promise<Completeness['setAside']> {
  const found: Completeness['setAside'][number][] = [];
  for (const table of ['procedures', 'revisions'] as const) {
    const rows = await database.query(sql(`SELECT s.field, ${hospitalCode} AS place, at_year, count(*)::INTEGER AS n
      FROM set_aside s JOIN ${sources[table].from} t ON t.record = s.record WHERE s."table" = ${quoteText(table)} AND s.scope = 'value' GROUP BY 1, 2, 3 ORDER BY 1, 2, 3`));
    const at = rows.numbers('at_year'), n = rows.numbers('n'), place = rows.numbers('place');
    rows.texts('field').forEach((field, i) => {
      found.push({ label: fieldLabel(field ?? ''), table, hospital: position(place[i]!), year: yearAt.get(at[i]!) ?? -1, count: n[i]! });
    });
  }
  return found;
}

async function modelFields(database: Database, setAside: ReadonlyMap<string, number>): Promise<readonly FieldCompleteness[]> {
  const fields = of('models', fieldsOf('models')).filter(({ name }) => name !== 'last_used'); // empty: still in use
  const rows = await database.query(sql(`SELECT count(*)::INTEGER AS records, ${fields.map(({ name }) => `count(${quoteName(name)})::INTEGER AS ${quoteName(`n_${name}`)}`).join(', ')} FROM models`));
  return fields.map(({ name }) => ({
    ...overall('models', name, rows.numbers('records')[0]!, rows.numbers(`n_${name}`)[0]!, setAside), byHospital: [], byYear: [],
  }));
}
