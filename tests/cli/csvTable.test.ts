import { mkdtemp, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { factorColumn, numberColumn } from '@/lib/cli/table/columns';
import { parseCsvTable, readCsvTable } from '@/lib/cli/table/csvTable';

describe('a CSV file of a study', () => {
  it('knows the line of each row, past blank lines and quoted line breaks', () => {
    const table = parseCsvTable('s.csv', '\uFEFFid, time\n1, 2.5\n\n"a\nb",\n');
    expect(table).toEqual({ name: 's.csv', columns: ['id', 'time'], rows: [['1', '2.5'], ['a\nb', '']], lines: [2, 5] });
  });

  it.each([
    ['', 's.csv: the file is empty; a header and one row per patient are needed'],
    ['id,time\n', 's.csv: the file has a header and no rows'],
    ['id,time,id\n1,2,3\n', "s.csv: the header has column 'id' twice"],
    ['id,time\n1,2,3\n', 's.csv: Invalid Record Length: expect 2, got 3 on line 2'],
    ['id,time\n1,"2\n', 's.csv: Quote Not Closed'],
  ])('refuses %j', (text, message) => {
    expect(() => parseCsvTable('s.csv', text)).toThrow(message);
  });

  it('refuses a file that is missing, a folder or not UTF-8', async () => {
    const folder = await mkdtemp(join(tmpdir(), 'study-'));
    await writeFile(join(folder, 'latin.csv'), Buffer.from([0x74, 0x0a, 0xe9, 0x0a]));
    await expect(readCsvTable(join(folder, 'none.csv'))).rejects.toThrow('no such file');
    await expect(readCsvTable(folder)).rejects.toThrow('is a folder, not a file');
    await expect(readCsvTable(join(folder, 'latin.csv'))).rejects.toThrow('latin.csv: not UTF-8');
  });
});

describe('a column', () => {
  const table = parseCsvTable('s.csv', 'x,level\n1.5e1,b\n,10\n-.5,\n');

  it('holds numbers, and NaN where empty', () => {
    expect([...numberColumn(table, '--time', 'x')]).toEqual([15, NaN, -0.5]);
  });

  it.each([
    { cells: ['10', '9', '9'], levels: ['9', '10'] },
    { cells: ['10', '9', 'b'], levels: ['10', '9', 'b'] },
  ])('sorts $cells into $levels', ({ cells, levels }) => {
    expect(factorColumn(parseCsvTable('s.csv', ['g', ...cells].join('\n')), '--group', 'g').levels).toEqual(levels);
  });

  it('gives an empty cell no level', () => {
    expect(factorColumn(table, '--group', 'level')).toEqual({ levels: ['10', 'b'], code: Int32Array.of(1, 0, -1) });
  });

  it.each([
    ['NA', "s.csv line 2, 'x' (--time): must be a number of at least 0 or empty: 'NA'"],
    ['0x10', "must be a number of at least 0 or empty: '0x10'"],
    ['Infinity', "must be a number of at least 0 or empty: 'Infinity'"],
    ['-1', "must be a number of at least 0 or empty: '-1'"],
    ['=1+1', "must be a number of at least 0 or empty: '=1+1'"],
    ['1e999', "must be a number of at least 0 or empty: '1e999'"],
  ])('refuses %s as a time', (cell, message) => {
    const bad = parseCsvTable('s.csv', `x\n${cell}\n`);
    expect(() => numberColumn(bad, '--time', 'x', 'a number of at least 0', (t) => t >= 0)).toThrow(message);
  });

  it('names the columns there are where one is missing', () => {
    expect(() => numberColumn(table, '--time', 'days')).toThrow("s.csv: no column 'days' for --time; it has x, level");
  });
});
