import { closeSync, openSync, writeFileSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import type { FieldSource, Mapping } from '../../../lib/contract/mapping';
import { RandomStream } from '../../../sample-registry/random';
import { extract } from '../../../sample-registry/scenario';

const columns = ['procedure_id', 'procedure_date', 'joint', 'side', 'class', 'indication', 'sex', 'age_years', 'hospital_id', 'surgeon_id', 'follow_up_end', 'revision_date', 'kind'] as const;
const ofRevision: readonly string[] = ['procedure_id', 'revision_date', 'kind'];
const purpose = 83, rowsAtOnce = 20_000;
const day = (since: number): string => new Date(Date.UTC(2005, 0, 1) + since * 86_400_000).toISOString().slice(0, 10);
const lastDay = Math.floor((Date.parse(extract.closingDate) - Date.UTC(2005, 0, 1)) / 86_400_000);

/** A file of its own for one question: a row for each procedure, about 104 bytes, its revision beside it, no components, no patients. And its mapping. */
export function writeOneFile(folder: string, procedures: number, seed: number): void {
  const file = openSync(join(folder, 'registry.csv'), 'w'), random = new RandomStream(seed, purpose, 0);
  let text = `${columns.join(',')}\n`;
  for (let i = 0; i < procedures; i++) {
    const start = random.integer(lastDay), end = Math.min(lastDay, start + Math.floor(-Math.log(random.uniform()) * 4000)), revised = random.chance(0.06);
    text += `${[
      `P${String(i).padStart(9, '0')}`, day(start), 'shoulder', random.one(['left', 'right']), random.one(['anatomic_total', 'reverse_total', 'reverse_total', 'hemi']),
      random.one(['osteoarthritis', 'cuff_arthropathy', 'acute_fracture']), random.one(['female', 'female', 'male']), 55 + random.integer(35), `HOSP${100 + random.integer(60)}`,
      `SURG${1000 + random.integer(400)}`, day(end), revised ? day(start + random.integer(end - start + 1)) : '', revised ? random.one(['major', 'minor']) : '',
    ].join(',')}\n`;
    if (i % rowsAtOnce === rowsAtOnce - 1) {
      writeSync(file, text);
      text = '';
    }
  }
  writeSync(file, text);
  closeSync(file);
  const from = (name: string): [string, FieldSource] => [name, { column: name, missing: [], ...(/_date$|_end$/.test(name) && { dates: 'year-month-day' as const }) }];
  const mapping: Mapping = {
    mapping: 1,
    registry: { name: 'One file (invented)', version: String(procedures), opened: '2005-01-01', closing_date: extract.closingDate, deaths_closing_date: extract.closingDate, coverage_percent: null },
    sources: [{ file: 'registry.csv', sheet: null, layout: { encoding: 'utf-8', delimiter: ',', decimal: '.', headerLine: 1 }, tables: [
      { table: 'procedures', when: null, unless: [], fields: Object.fromEntries(columns.filter((name) => name === 'procedure_id' || !ofRevision.includes(name)).map(from)) },
      { table: 'revisions', when: 'revision_date', unless: [], fields: Object.fromEntries(ofRevision.map(from)) },
    ] }],
  };
  writeFileSync(join(folder, 'mapping.json'), JSON.stringify(mapping));
}
