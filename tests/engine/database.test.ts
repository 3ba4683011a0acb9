import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { passing, QueryError, sql, type LoadingDatabase } from '../../lib/engine/database';
import { numberColumn, textColumn } from '../../lib/engine/newColumn';
import { engines } from './engines';

describe.each(engines)('DuckDB, $engine', ({ open }) => {
  let database: LoadingDatabase;
  beforeAll(async () => { database = await open(); });
  afterAll(async () => { await database.close(); });

  it('is of the release line that both engines share', async () => {
    expect((await database.query(sql('SELECT version() AS v'))).texts('v')[0]).toMatch(/^v1\.4\./);
  });

  it.each([
    ['UTINYINT', [0, 255, NaN]], ['SMALLINT', [-32768, 32767, NaN]], ['INTEGER', [-2147483648, 2147483647, NaN]],
    ['UINTEGER', [0, 4294967295, NaN]], ['DOUBLE', [-0.1, 1e300, NaN]], ['FLOAT', [0.5, -0.25, NaN]], ['BOOLEAN', [0, 1, NaN]],
  ])('%s comes as numbers, null as NaN', async (type, [first = 0, second = 0, missing]) => {
    const rows = await database.query(sql(`SELECT v::${type} AS v FROM (VALUES (1, ${first}), (2, ${second}), (3, NULL)) t(i, v) ORDER BY i`));
    expect([...rows.numbers('v')]).toEqual([first, second, missing]);
  });

  it('keeps rows in their places beyond one batch', async () => {
    const rows = await database.query(sql('SELECT CASE WHEN i % 3 = 0 THEN NULL ELSE i END::INTEGER AS v FROM range(10000) t(i) ORDER BY i'));
    expect([...rows.numbers('v')]).toEqual(Array.from({ length: 10000 }, (_, i) => (i % 3 === 0 ? NaN : i)));
    expect(rows.texts('v')[9999]).toBe(null);
    expect(rows.texts('v')[9998]).toBe('9998');
  });

  it.each(['BIGINT', 'HUGEINT', 'DECIMAL(10, 2)'])('%s is refused as numbers: JavaScript would not hold every value', async (type) => {
    const rows = await database.query(sql(`SELECT 1::${type} AS n`));
    expect(() => rows.numbers('n')).toThrow(/column n is .*cast it to INTEGER or DOUBLE/);
  });

  it('texts: enums, dates and nulls', async () => {
    const rows = await database.query(sql(`SELECT e::ENUM('left', 'right') AS e, d::DATE AS d FROM (VALUES ('right', '1959-02-28'), (NULL, NULL)) t(e, d)`));
    expect([rows.texts('e'), rows.texts('d')]).toEqual([['right', null], ['1959-02-28', null]]);
  });

  it('asking for a column that is not there names those that are', async () => {
    const rows = await database.query(sql('SELECT 1 AS n'));
    expect(() => rows.numbers('m')).toThrow('the result has no column m; it has n');
  });

  it.each([['text', "it's"], ['whole number', 42], ['beyond 32 bits', 5e9], ['fraction', 27.5], ['truth', true], ['null', null]] as const)(
    'binds a parameter: %s', async (_, value) => {
      const rows = await database.query(sql('SELECT (? IS NOT DISTINCT FROM ?)::INTEGER AS same', value, value));
      expect([...rows.numbers('same')]).toEqual([1]);
    });

  it('binds whole numbers where SQL wants a whole number, in order', async () => {
    const rows = await database.query(sql('SELECT i::INTEGER AS i FROM range(100) t(i) WHERE i > ? AND i <> ? ORDER BY i LIMIT ?', 3, 5, 3));
    expect([...rows.numbers('i')]).toEqual([4, 6, 7]);
  });

  it('a failed query says its SQL text and the reason, never the parameters', async () => {
    const failed = database.query(sql('SELECT * FROM nowhere WHERE patient = ?', 'P-77123'));
    await expect(failed).rejects.toThrow(QueryError);
    await expect(failed).rejects.toMatchObject({ sql: 'SELECT * FROM nowhere WHERE patient = ?', message: expect.stringContaining('nowhere') as string });
    await expect(failed).rejects.toSatisfy((error) => !JSON.stringify(error).includes('P-77123') && !String(error).includes('P-77123'));
  });

  it('a parameter that the engine repeats in its reason is taken out', async () => {
    const failed = database.query(sql('SELECT ?::VARCHAR::INTEGER AS n', 'P-77123'));
    await expect(failed).rejects.toMatchObject({ message: expect.stringContaining("'?'") as string });
    await expect(failed).rejects.toSatisfy((error: Error) => ![error.message, error.stack, JSON.stringify(error.cause)].some((text) => text?.includes('P-77123')));
  });

  it('takes in columns, beyond one batch', async () => {
    const every = <T>(make: (i: number) => T): (T | null)[] => Array.from({ length: 5001 }, (_, i) => (i % 3 === 2 ? null : make(i)));
    const id = every((i) => (i % 2 === 0 ? `ü${i}` : `a word of more than twelve letters, ${i}`)), whole = every((i) => i - 7), part = every((i) => i / 4 - 1);
    await database.createFrom('columns_in', [
      textColumn('id', id), numberColumn('n', 'INTEGER', whole), numberColumn('x', 'DOUBLE', part), numberColumn('k', 'UTINYINT', every((i) => i % 256)),
      numberColumn('d', 'DATE', every(() => 15_000)), numberColumn('all', 'INTEGER', Array.from({ length: 5001 }, (_, i) => i)),
    ]);
    const rows = await database.query(sql(`SELECT * FROM ${passing('columns_in')}`));
    expect(rows.texts('id')).toEqual(id);
    const shown = (numbers: readonly (number | null)[]): (string | null)[] => numbers.map((number) => (number === null ? null : String(number)));
    expect([rows.texts('n'), rows.texts('x'), rows.texts('k')]).toEqual([shown(whole), shown(part), shown(every((i) => i % 256))]);
    expect(rows.texts('d')).toEqual(every(() => '2011-01-26'));
    expect([...rows.positions('all')]).toEqual(Array.from({ length: 5001 }, (_, i) => i + 1));
    expect([...rows.positions('n')]).toEqual(whole.map((n) => (n === null ? 0 : n + 1)));
  });

  it('adds columns to a table in its types: few texts and many, codes, and nothing where none is given', async () => {
    const rows = 3001, every = <T>(make: (i: number) => T): (T | null)[] => Array.from({ length: rows }, (_, i) => (i % 3 === 2 ? null : make(i)));
    const side = every((i) => ['left', 'right'][i % 2]!), unit = every((i) => `unit ${i % 40}`), id = every((i) => `p${i}`), day = every(() => 15_000);
    await database.query(sql(`CREATE TABLE extract.main.added (n INTEGER, id VARCHAR, side ENUM('none', 'left', 'right'), "by" STRUCT("check" UTINYINT, "value" VARCHAR)[], day DATE, unit VARCHAR, x DOUBLE)`));
    for (const from of [0, rows]) {
      await database.append('extract.main.added', ['n', 'id', 'side', 'by', 'day', 'unit', 'x'], [
        textColumn('unit', unit), textColumn('id', id), textColumn('side', side), numberColumn('day', 'DATE', day), numberColumn('n', 'INTEGER', Array.from({ length: rows }, (_, i) => from + i)),
      ]);
    }
    const found = await database.query(sql('SELECT * REPLACE ("by"::VARCHAR AS "by") FROM extract.main.added ORDER BY n')), twice = <T>(values: readonly T[]): T[] => [...values, ...values];
    expect(Array.from(found.positions('n'))).toEqual(Array.from({ length: 2 * rows }, (_, i) => i + 1));
    expect([found.texts('id'), found.texts('side'), found.texts('unit')]).toEqual([twice(id), twice(side), twice(unit)]);
    expect(found.texts('day')).toEqual(twice(every(() => '2011-01-26')));
    expect([...new Set([...found.texts('by'), ...found.texts('x')])]).toEqual([null]);
    await expect(database.append('extract.main.added', ['n', 'id', 'side', 'by', 'day', 'unit', 'x'], [textColumn('side', ['up'])])).rejects.toThrow(QueryError);
  });

  it('takes in no columns of unlike lengths', async () => {
    const unlike = database.createFrom('unlike', [numberColumn('n', 'INTEGER', [1, 2, 3]), numberColumn('x', 'DOUBLE', [0.5, 1.5])]);
    await expect(unlike).rejects.toThrow('columns of a table have as many values each, but n has 3 and x 2');
    await expect(database.createFrom('unlike_texts', [numberColumn('n', 'INTEGER', [1]), textColumn('t', ['a', 'b'])])).rejects.toThrow('n has 1 and t 2');
  });
});

describe.each(engines)('a sealed database, $engine', ({ open }) => {
  it('answers, but reads no file and takes no setting', async () => {
    const database = await open();
    const path = await database.registerBytes('secret.csv', new TextEncoder().encode('a\n1\n'));
    const read = sql(`SELECT * FROM read_csv('${path}', auto_detect = false, header = true, columns = {'a': 'VARCHAR'})`);
    expect((await database.query(read)).texts('a')).toEqual(['1']);
    await database.seal();
    await expect(database.query(read)).rejects.toThrow(QueryError);
    await expect(database.query(sql('SET enable_external_access = true'))).rejects.toThrow(QueryError);
    await database.query(sql('CREATE TABLE still AS SELECT 1 AS n'));
    expect((await database.query(sql('SELECT n FROM still'))).texts('n')).toEqual(['1']);
    await database.close();
  });

  it('a query fails when the database is interrupted or closed under it', async () => {
    const database = await open();
    const long = database.query(sql('SELECT count(*)::DOUBLE AS n FROM range(100000000) a(i), range(100000) b(j) WHERE i * j % 7 = 3'));
    const outcome = expect(long).rejects.toThrow(QueryError);
    await new Promise((resolve) => { setTimeout(resolve, 50); });
    database.interrupt();
    await outcome;
    await database.close();
  });
});
