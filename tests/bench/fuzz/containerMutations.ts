import { zipSync } from 'fflate';
import { parquetWriteBuffer } from 'hyparquet-writer';
import type { ExtractFile } from '../../../lib/intake/extractFile';
import type { RandomStream } from '../../../sample-registry/random';
import { byteMutations, type Bytes } from './byteMutations';
import { bytesOf, csvOf, type Cell, type Grids } from './seedExtract';

export type ContainerMutation = (grids: Grids, random: RandomStream) => ExtractFile[];

export const fileOf = (name: string, bytes: Bytes): ExtractFile => ({ name, content: new Blob([bytes]) });
const csvFilesOf = (grids: Grids): [string, Bytes][] => [...grids].map(([table, grid]) => [`${table}.csv`, bytesOf(csvOf(grid))]);
const zipOf = (files: Iterable<readonly [string, Bytes]>): Bytes => new Uint8Array(zipSync(Object.fromEntries(files), { level: 6 }));
const zipped = (bytes: Bytes): ExtractFile[] => [fileOf('extract.zip', bytes)];
export const mutated = (bytes: Bytes, random: RandomStream): Bytes => random.one(Object.values(byteMutations))(bytes, random);

/** Changes a field of an entry of the central directory, or of its own header. */
const zipField = (offsets: readonly number[]): ContainerMutation => (grids, random) => {
  const bytes = zipOf(csvFilesOf(grids)), view = new DataView(bytes.buffer);
  const entries = Array.from(bytes, (_, i) => i).filter((i) => i + 4 <= bytes.length && view.getUint32(i) === 0x504b0102);
  const at = random.one(entries) + random.one(offsets);
  for (let i = 0; i < 4; i++) bytes[at + i] = random.chance(0.3) ? 255 : random.integer(256);
  return zipped(bytes);
};

export const parquetOf = (header: readonly string[], rows: readonly (readonly Cell[])[], random: RandomStream): Bytes => {
  const odd = random.chance(0.5);
  return new Uint8Array(parquetWriteBuffer({ columnData: header.flatMap((name, i) => {
    if (header.indexOf(name) !== i) return []; // the writer finds columns by their names
    const data = rows.map((cells) => cells[i] ?? null), kind = odd && random.chance(0.15) ? random.integer(5) : -1;
    if (kind === 0) return { name, data: data.map(() => random.one([true, false, null])), type: 'BOOLEAN' as const };
    if (kind === 1) return { name, data: data.map(() => random.one([1.5, NaN, Infinity, -0, null, 70])), type: 'DOUBLE' as const };
    if (kind === 2) return { name, data: data.map(() => new Date(random.integer(2 ** 31) * 1000)), type: 'TIMESTAMP' as const };
    if (kind === 3) return { name, data: data.map(() => BigInt(random.integer(2 ** 31)) * BigInt(random.integer(2 ** 31))), type: 'INT64' as const };
    if (kind === 4) return { name, data: data.map(() => ({ a: [1, 'x'] })), type: 'JSON' as const };
    return { name, data: data.map((cell) => (cell === null ? null : String(cell))), type: 'STRING' as const };
  }) }));
};
type Change = (bytes: Bytes, random: RandomStream) => Bytes;
const withParquet = (change: Change, inParts = false): ContainerMutation => (grids, random) => [...grids].flatMap(([table, { header, rows }]) => {
  const target = random.chance(0.4);
  if (!target || rows.length === 0) return [fileOf(`${table}.csv`, bytesOf(csvOf({ header, rows })))];
  return inParts && random.chance(0.5) ? partsOf(table, header, rows, change, random) : [fileOf(`${table}.parquet`, change(parquetOf(header, rows, random), random))];
});

const folders = [...Array.from({ length: 20 }, () => ''), 'year=2011/', 'joint=shoulder/', 'joint=/', 'side=%ZZ/', '=left/', 'procedure_id=P1/', '../', 'x=1/joint=hip/'];
/** A folder of parts: some of them changed, left out, with fewer columns, or in a folder that says more. */
const partsOf = (table: string, header: readonly string[], rows: readonly (readonly Cell[])[], change: Change, random: RandomStream): ExtractFile[] => {
  const parts = 2 + random.integer(3);
  return Array.from({ length: parts }, (_, part) => {
    const bytes = parquetOf(random.chance(0.2) ? header.slice(1) : header, rows.filter((_row, i) => i % parts === part), random);
    return fileOf(`${table}/${random.one(folders)}part-${part}.parquet`, random.chance(0.4) ? change(bytes, random) : bytes);
  }).filter(() => !random.chance(0.1));
};

const oddNames = ['../procedures.csv', '..\\..\\procedures.csv', '/etc/procedures.csv', 'C:\\procedures.csv', 'a/b/c/procedures.csv', 'PROCEDURES.CSV', 'procedures.csv.exe',
  'procedures .csv', '\u202Evsc.serudecorp', `${'x/'.repeat(200)}procedures.csv`, '.procedures.csv', '__MACOSX/procedures.csv', 'procedures.CSV/', 'proce\u0000dures.csv', 'con', ''];

export const containerMutations: Readonly<Record<string, ContainerMutation>> = {
  'zip, as it should be': (grids) => zipped(zipOf(csvFilesOf(grids))),
  'zip with its bytes changed': (grids, random) => zipped(mutated(zipOf(csvFilesOf(grids)), random)),
  'zip cut short': (grids, random) => { const bytes = zipOf(csvFilesOf(grids)); return zipped(bytes.slice(0, random.integer(bytes.length))); },
  'zip with a wrong checksum': zipField([16]),
  'zip with wrong sizes': zipField([20, 24]),
  'zip with wrong places, flags and methods': zipField([8, 10, 28, 42]),
  'zip with a bomb': (grids, random) => zipped(zipOf([...csvFilesOf(grids), [random.one(['bomb.csv', 'procedures.csv', 'deaths.csv']), new Uint8Array(1 + random.integer(40 * 1024 ** 2)).fill(random.one([0, 32, 44]))]])),
  'zip in a zip': (grids) => zipped(zipOf([['extract.zip', zipOf(csvFilesOf(grids))]])),
  'zip with odd names': (grids, random) => zipped(zipOf(csvFilesOf(grids).map(([name, bytes]) => [random.chance(0.3) ? random.one(oddNames) : name, bytes]))),
  'files with odd names': (grids, random) => csvFilesOf(grids).map(([name, bytes]) => fileOf(random.chance(0.3) ? random.one(oddNames) : name, bytes)),
  'files with each other’s endings': (grids, random) => csvFilesOf(grids).map(([name, bytes]) => fileOf(random.chance(0.3) ? name.replace('csv', random.one(['parquet', 'zip', 'txt', 'xlsx', 'csv.gz'])) : name, bytes)),
  'a description with its bytes changed': (grids, random) => {
    const description = { name: 'x', resources: [...grids.keys()].map((table) => ({ name: table, path: `${table}.csv`, encoding: 'utf-8', dialect: { delimiter: ',' } })) };
    return [...csvFilesOf(grids), ['datapackage.json', mutated(bytesOf(JSON.stringify(description)), random)] as const].map(([name, bytes]) => fileOf(name, bytes));
  },
  'a description of other files': (grids, random) => {
    const path = (table: string): unknown => random.one<unknown>([`${table}.csv`, `${table}.csv`, '../x.csv', 'https://x.invalid/x.csv', '', [], [`${table}.csv`], 7, null, 'procedures.csv', './deaths.csv', 'CON']);
    const description = { resources: [...grids.keys()].map((table) => ({ name: random.one<unknown>([table, table, table, 'other', '', null]), path: path(table) })) };
    return [...csvFilesOf(grids), ['datapackage.json', bytesOf(JSON.stringify(description))] as const].map(([name, bytes]) => fileOf(name, bytes));
  },
  'Parquet, some columns of other types': withParquet((bytes) => bytes),
  'Parquet with its bytes changed': withParquet(mutated, true),
  'Parquet with its footer changed': withParquet((bytes, random) => {
    const result = bytes.slice(), footer = new DataView(bytes.buffer).getUint32(bytes.length - 8, true);
    for (let n = 1 + random.integer(6); n > 0; n--) result[bytes.length - 1 - random.integer(footer + 8)] = random.integer(256);
    return result;
  }, true),
};
