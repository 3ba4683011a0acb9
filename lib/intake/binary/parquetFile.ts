import { parquetMetadataAsync, parquetScan, parquetSchema, type AsyncBuffer, type FileMetaData, type ParquetScan, type SchemaTree } from 'hyparquet';
import { compressors } from 'hyparquet-compressors';
import type { ExtractFile } from '../extractFile';
import { problem, Refusal } from '../refusal';

/** A Parquet file of which the footer is read. */
export interface ParquetFile {
  readonly scan: ParquetScan;
  readonly options: Parameters<typeof parquetScan>[0] & { readonly metadata: ParquetScan['metadata'] }; // to read it in another way
  readonly columns: SchemaTree['children']; // each by a name of its own
  readonly names: readonly string[]; // of the columns, as the file has them
}

/** Throws a Refusal where it is none, or damaged. */
export function openParquetFile({ name, content }: ExtractFile): Promise<ParquetFile> {
  const file: AsyncBuffer = { byteLength: content.size, slice: (start, end) => partOf(content, start, end).arrayBuffer() };
  return decoding(name, async () => {
    const inFile = await parquetMetadataAsync(file), names = parquetSchema(inFile).children.map(({ element }) => element.name);
    if (names.some((name) => typeof (name as unknown) !== 'string')) throw new Error('a column has no name'); // a damaged footer may lack it
    const metadata = new Set(names).size === names.length ? inFile : toldApart(inFile), scan = await parquetScan({ file, compressors, metadata });
    return { scan, options: { file, compressors, metadata }, columns: parquetSchema(metadata).children, names };
  });
}

/** The same with a name of its own for each column: the decoder finds columns by their names, and would read the first of a name for the others. */
function toldApart(metadata: FileMetaData): FileMetaData {
  const { children } = parquetSchema(metadata), ofElements = [''], ofLeaves: string[] = [];
  for (const [i, { count, element: { name } }] of children.entries()) {
    const own = `${name}\0${i}`, elements = metadata.schema.slice(ofElements.length, ofElements.length + count);
    ofLeaves.push(...elements.filter(({ type }) => type !== undefined).map(() => own));
    ofElements.push(own, ...elements.slice(1).map((each) => each.name));
  }
  return {
    ...metadata, schema: metadata.schema.map((element, i) => ({ ...element, name: ofElements[i] ?? element.name })),
    row_groups: metadata.row_groups.map((group) => ({ ...group, columns: group.columns.map((column, i) => (column.meta_data === undefined ? column
      : { ...column, meta_data: { ...column.meta_data, path_in_schema: [ofLeaves[i] ?? '', ...column.meta_data.path_in_schema.slice(1)] } })) })),
  };
}

/** A damaged file may say that a part stands anywhere. Node ends the process where that is beyond what a file can have. */
function partOf(content: Blob, start: number, end = content.size): Blob {
  if (!(start >= 0 && end >= start)) throw new RangeError('a part of the file would stand before its beginning');
  return content.slice(Math.min(start, content.size), Math.min(end, content.size));
}

/** Makes a Refusal of whatever the decoder throws. */
export async function decoding<T>(file: string, work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (error) {
    throw new Refusal([problem('damaged_parquet', `this is no Parquet file, or it is damaged or cut short (${error instanceof Error ? error.message : String(error)})`, { file })]);
  }
}
