import { closeSync, openSync, writeFileSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { fieldsOf } from '../../../lib/contract/fields';
import type { FieldSource, Mapping } from '../../../lib/contract/mapping';
import { ParquetRows } from '../../../sample-registry/parquetFiles';
import { RandomStream } from '../../../sample-registry/random';
import { extract } from '../../../sample-registry/scenario';
import type { Row } from '../../../sample-registry/sink';

const columns = ['procedure_id', 'procedure_date', 'joint', 'side', 'class', 'indication', 'sex', 'age_years', 'hospital_id', 'surgeon_id', 'follow_up_end', 'revision_date', 'kind'] as const;
const ofRevision: readonly string[] = ['procedure_id', 'revision_date', 'kind'];
const purpose = 83, rowsAtOnce = 20_000;
const day = (since: number): string => new Date(Date.UTC(2005, 0, 1) + since * 86_400_000).toISOString().slice(0, 10);
const lastDay = Math.floor((Date.parse(extract.closingDate) - Date.UTC(2005, 0, 1)) / 86_400_000);

const fields = [...fieldsOf('procedures'), ...fieldsOf('revisions').filter(({ name }) => name !== 'procedure_id')].filter(({ name }) => (columns as readonly string[]).includes(name));

/** A row for each procedure, its revision beside it. */
function* rowsOf(procedures: number, seed: number): Generator<Row> {
  const random = new RandomStream(seed, purpose, 0);
  for (let i = 0; i < procedures; i++) {
    const start = random.integer(lastDay), end = Math.min(lastDay, start + Math.floor(-Math.log(random.uniform()) * 4000)), revised = random.chance(0.06);
    yield {
      procedure_id: `P${String(i).padStart(9, '0')}`, procedure_date: day(start), joint: 'shoulder', side: random.one(['left', 'right']),
      class: random.one(['anatomic_total', 'reverse_total', 'reverse_total', 'hemi']), indication: random.one(['osteoarthritis', 'cuff_arthropathy', 'acute_fracture']),
      sex: random.one(['female', 'female', 'male']), age_years: 55 + random.integer(35), hospital_id: `HOSP${100 + random.integer(60)}`, surgeon_id: `SURG${1000 + random.integer(400)}`,
      follow_up_end: day(end), revision_date: revised ? day(start + random.integer(end - start + 1)) : null, kind: revised ? random.one(['major', 'minor']) : null,
    };
  }
}

/** The rows as CSV, about 104 bytes each. */
function writeCsv(filename: string, rows: Iterable<Row>): void {
  const file = openSync(filename, 'w');
  let text = `${columns.join(',')}\n`, waiting = 0;
  const write = (): void => { writeSync(file, text); [text, waiting] = ['', 0]; };
  for (const row of rows) {
    text += `${columns.map((name) => row[name] ?? '').join(',')}\n`;
    if (++waiting === rowsAtOnce) write();
  }
  write();
  closeSync(file);
}

function writeParquet(filename: string, rows: Iterable<Row>): void {
  const file = new ParquetRows(fields, filename);
  for (const row of rows) file.add(row);
  file.close();
}

/** One file made for one question, with its mapping: a row for each procedure, no components, no patients. */
export function writeOneFile(folder: string, procedures: number, seed: number, format: 'csv' | 'parquet'): void {
  const name = `registry.${format}`, rows = rowsOf(procedures, seed);
  if (format === 'csv') writeCsv(join(folder, name), rows);
  else writeParquet(join(folder, name), rows);
  const dates = format === 'csv' ? 'year-month-day' : undefined;
  const from = (column: string): [string, FieldSource] => [column, { column, missing: [], ...(dates !== undefined && /_date$|_end$/.test(column) && { dates }) }];
  const mapping: Mapping = {
    mapping: 1,
    registry: { name: 'One file (invented)', version: String(procedures), opened: '2005-01-01', closing_date: extract.closingDate, deaths_closing_date: extract.closingDate, coverage_percent: null },
    sources: [{ file: name, sheet: null, layout: format === 'csv' ? { encoding: 'utf-8', delimiter: ',', decimal: '.', headerLine: 1 } : null, tables: [
      { table: 'procedures', when: null, unless: [], fields: Object.fromEntries(columns.filter((each) => each === 'procedure_id' || !ofRevision.includes(each)).map(from)) },
      { table: 'revisions', when: 'revision_date', unless: [], fields: Object.fromEntries(ofRevision.map(from)) },
    ] }],
  };
  writeFileSync(join(folder, 'mapping.json'), JSON.stringify(mapping));
}
