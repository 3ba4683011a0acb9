import { parquetWriteBuffer } from 'hyparquet-writer';
import { describe, expect, it } from 'vitest';
import { fieldsOf } from '../../lib/contract/fields';
import { memoryNeeded, recordsIn } from '../../lib/engine/load/memoryForecast';
import { loadExtract } from '../../lib/engine/loadExtract';
import { openNodeDatabase } from '../../lib/engine/node';
import { csv, smallExtract, textFile } from './smallExtract';

const rows = Array.from({ length: 2000 }, (_, i) => ({ procedure_id: `p${i}`, patient_id: `a${i}` }));
const asCsv = textFile('procedures.csv', csv('procedures', rows));

describe('the memory that an extract will need', () => {
  it('grows with its records, not with its bytes: CSV and Parquet need the same', async () => {
    const parquet = new Uint8Array(parquetWriteBuffer({ columnData: fieldsOf('procedures').map(({ name }) => ({ name, data: rows.map(() => 'x'), type: 'STRING' as const })) }));
    expect(await recordsIn(new Blob([parquet]), 'parquet')).toBe(2000);
    expect(await recordsIn(asCsv.content, 'csv') / 2000).toBeCloseTo(1, 1);
    expect(memoryNeeded(new Map([['procedures', 5_000_000]]))).toBeGreaterThan(memoryNeeded(new Map([['procedures', 1_000_000]])));
  });

  it('is held against what there is before a database is opened, and it says what helps', async () => {
    let opened = 0;
    const open = () => {
      opened++;
      return openNodeDatabase();
    };
    const files = smallExtract({ procedures: rows });
    const refused = await loadExtract(open, files, { memory: { engine: 3e9, machine: 1e8 } });
    expect(refused).toMatchObject({ status: 'refused', problems: [{ rule: 'memory_forecast', message: expect.stringContaining('this machine has probably no more than 0.1 GB to spare. What helps:') as string }] });
    expect(opened).toBe(0);
    for (const options of [{ memory: { engine: 3e9, machine: 1e8 }, tryAnyway: true }, { memory: { engine: 3e9, machine: null } }, {}]) {
      const loaded = await loadExtract(open, files, options);
      expect(loaded.status).toBe('loaded');
      if (loaded.status === 'loaded') await loaded.extract.database.close();
    }
    const tooLarge = await loadExtract(open, files, { memory: { engine: 1e8, machine: null } });
    expect(tooLarge).toMatchObject({ status: 'refused', problems: [{ message: expect.stringContaining('a browser gives the database no more than 0.1 GB') as string }] });
  });

  it('runs out: the extract is refused in words, its database closed, and the one loaded before stays', async () => {
    const before = await loadExtract(openNodeDatabase, smallExtract({ procedures: rows.slice(0, 3) }));
    let open = 0;
    const result = await loadExtract(async () => {
      const database = await openNodeDatabase();
      await database.query({ sql: "SET memory_limit = '24MB'", params: [] });
      open++;
      return { ...database, close: async () => { open--; await database.close(); } };
    }, smallExtract({ procedures: Array.from({ length: 60_000 }, (_, i) => ({ procedure_id: `procedure number ${i}`, patient_id: `patient number ${i}` })) }));
    expect(result).toMatchObject({ status: 'refused', problems: [{ rule: 'out_of_memory', message: expect.stringContaining('What helps') as string }] });
    expect(open).toBe(0);
    if (before.status === 'refused') throw new Error('the first was refused');
    expect((await before.extract.database.query({ sql: 'SELECT procedure FROM followup', params: [] })).rowCount).toBe(3);
    await before.extract.database.close();
  });
});
