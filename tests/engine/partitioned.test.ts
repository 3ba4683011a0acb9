import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { parquetWriteBuffer } from 'hyparquet-writer';
import { describe, expect, it } from 'vitest';
import { analyse } from '@/lib/analysis/analyse';
import { Question } from '@/lib/contract/question';
import { loadExtract, type LoadResult } from '@/lib/engine/loadExtract';
import { openNodeDatabase } from '@/lib/engine/node';
import { readExtractFiles } from '@/lib/engine/nodeFiles';
import type { ExtractFile } from '@/lib/intake/extractFile';
import { smallRegistry } from '../pooling/smallRegistry';
import { textFile } from './smallExtract';

type Row = Readonly<Record<string, string>>;
const tableOf = (file: ExtractFile): string => file.name.replace('.csv', '');

async function rowsOf(file: ExtractFile): Promise<{ readonly names: readonly string[]; readonly rows: readonly Row[] }> {
  const [header = '', ...lines] = (await file.content.text()).trimEnd().split('\n'), names = header.split(',');
  return { names, rows: lines.map((line) => Object.fromEntries(line.split(',').map((cell, i) => [names[i] ?? '', cell]))) };
}

const parquet = (name: string, names: readonly string[], rows: readonly Row[]): ExtractFile => ({
  name, content: new Blob([parquetWriteBuffer({ columnData: names.map((column) => ({ name: column, data: rows.map((row) => { const cell = row[column] ?? ''; return cell === '' ? null : cell; }), type: 'STRING' as const })) })]),
});

/** Every table as one Parquet file; those that `divide` names as a folder of parts, by the folder and number that it gives to each row. */
async function asParts(files: readonly ExtractFile[], divide: Readonly<Record<string, (row: Row, i: number) => string>>, without: readonly string[] = []): Promise<readonly ExtractFile[]> {
  return (await Promise.all(files.map(async (file) => {
    const { names, rows } = await rowsOf(file), table = tableOf(file), placed = divide[table];
    if (placed === undefined) return [parquet(`${table}.parquet`, names, rows)];
    const parts = new Map<string, Row[]>();
    rows.forEach((row, i) => { parts.set(placed(row, i), [...(parts.get(placed(row, i)) ?? []), row]); });
    return [...parts].map(([path, own]) => parquet(`${table}/${path}.parquet`, names.filter((name) => !without.includes(name)), own));
  }))).flat();
}

const question = Question.parse({ compare: 'sex', adjust: ['age'] });
const load = (files: readonly ExtractFile[]): Promise<LoadResult> => loadExtract(openNodeDatabase, files);
async function answered(files: readonly ExtractFile[]): Promise<{ readonly numbers: unknown; readonly fingerprint: string; readonly tables: unknown }> {
  const result = await load(files);
  if (result.status === 'refused') throw new Error(result.problems.map(({ message }) => message).join(' '));
  const answer = await analyse(result.extract, question);
  await result.extract.database.close();
  if (answer.status === 'empty') throw new Error(answer.reason);
  const { source: { fingerprint }, ...numbers } = answer;
  return { numbers, fingerprint, tables: result.report.tables.map(({ table, read, kept, setAside }) => [table, read, kept, setAside]) };
}

describe('tables in parts', () => {
  const csvFiles = smallRegistry('north', 1);

  it('give what single files and CSV give, however they are divided', async () => {
    const fromCsv = await answered(csvFiles), single = await answered(await asParts(csvFiles, {}));
    const year = (row: Row): string => `year=${row['procedure_date']?.slice(0, 4) ?? ''}/part`;
    const numbered = await asParts(csvFiles, { procedures: (_, i) => `part-${Math.floor(i / 300)}`, revisions: (_, i) => `part-${i % 2}` });
    const byYear = await asParts(csvFiles, { procedures: year });
    const bySex = await asParts(csvFiles, { procedures: (row) => `sex=${row['sex'] ?? ''}/side=left/part` }, ['sex', 'side']);
    for (const parts of [numbered, byYear, bySex]) {
      const { numbers, tables } = await answered(parts);
      expect(tables).toEqual(fromCsv.tables);
      expect(numbers).toEqual(single.numbers);
    }
    expect(single.numbers).toEqual(fromCsv.numbers);
  });

  it('are found in a folder on disk, and have a fingerprint that knows their places', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'parts-'));
    try {
      const parts = await asParts(csvFiles, { procedures: (row) => `sex=${row['sex'] ?? ''}/part` }, ['sex']);
      for (const { name, content } of parts) {
        mkdirSync(dirname(join(folder, name)), { recursive: true });
        writeFileSync(join(folder, name), new Uint8Array(await content.arrayBuffer()));
      }
      const onDisk = await answered(await readExtractFiles(folder)), inMemory = await answered(parts.toReversed());
      expect(onDisk.fingerprint).toBe(inMemory.fingerprint);
      expect(onDisk.numbers).toEqual(inMemory.numbers);
      const swapped = parts.map((file) => ({ ...file, name: file.name.replace(/sex=(female|male)/, (_, sex) => `sex=${sex === 'male' ? 'female' : 'male'}`) }));
      expect((await answered(swapped)).fingerprint).not.toBe(onDisk.fingerprint);
    } finally {
      rmSync(folder, { recursive: true });
    }
  });

  it('tell of every record by its part and row', async () => {
    const rest = csvFiles.filter(({ name }) => name !== 'procedures.csv'), { names, rows } = await rowsOf(csvFiles.find(({ name }) => name === 'procedures.csv')!);
    const bad = rows.map((row, i) => (i === 3 || i === 402 ? { ...row, age_years: '199' } : row));
    const parts = [bad.slice(0, 400), [], bad.slice(400)].map((own, i) => parquet(`procedures/part-${i}.parquet`, names, own));
    const result = await load([...rest, ...parts]);
    if (result.status === 'refused') throw new Error(result.problems[0]?.message);
    await result.extract.database.close();
    expect(result.report.tables.find(({ table }) => table === 'procedures')).toMatchObject({ file: 'procedures/part-0.parquet, procedures/part-1.parquet, procedures/part-2.parquet', countedIn: 'rows', read: 800, kept: 798, setAside: 2 });
    expect(result.report.rules.find(({ field }) => field === 'age_years')!.examples).toEqual([
      { file: 'procedures/part-0.parquet', line: 4, value: '199' }, { file: 'procedures/part-2.parquet', line: 3, value: '199' }]);
  });

  it('are refused where the table stands twice, a part is damaged or lacks a column, or their folders would name a person', async () => {
    const parts = await asParts(csvFiles, { procedures: (_, i) => `part-${i % 2}` }), single = csvFiles.find(({ name }) => name === 'procedures.csv')!;
    const problems = async (files: readonly ExtractFile[]) => { const result = await load(files); return result.status === 'refused' ? result.problems.map(({ rule, file, field }) => ({ rule, file, field })) : []; };
    expect(await problems([...parts, single])).toEqual([{ rule: 'two_files', file: null, field: null }]);
    expect(await problems(parts.map((file) => (file.name.endsWith('part-1.parquet') ? textFile(file.name, 'no Parquet') : file)))).toEqual([{ rule: 'damaged_parquet', file: 'procedures/part-1.parquet', field: null }]);
    expect(await problems([...parts, parquet('procedures/part-2.parquet', ['procedure_id', 'joint'], [])])).toContainEqual({ rule: 'missing_column', file: 'procedures/part-2.parquet', field: 'procedure_date' });
    expect(await problems([...parts, parquet('procedures/patient_id=A1/part.parquet', ['procedure_id', 'joint'], [])])).toEqual([{ rule: 'partition_identifies', file: null, field: 'patient_id' }]);
  });

  it('leaves a folder that happens to be called like a table as it is', async () => {
    const inFolder = csvFiles.map(({ name, content }) => ({ name: `procedures/${name}`, content }));
    expect((await answered(inFolder)).numbers).toEqual((await answered(csvFiles)).numbers);
  });
});
