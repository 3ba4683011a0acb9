import { parquetScan, parquetSchema, type AsyncBuffer, type ParquetScan, type SchemaTree } from 'hyparquet';
import { compressors } from 'hyparquet-compressors';
import type { ExtractFile } from '../extractFile';
import { problem, Refusal } from '../refusal';

/** A Parquet file of which the footer is read. */
export interface ParquetFile {
  readonly scan: ParquetScan;
  readonly options: Parameters<typeof parquetScan>[0] & { readonly metadata: ParquetScan['metadata'] }; // to read it in another way
  readonly columns: SchemaTree['children'];
}

/** Throws a Refusal where it is none, or damaged. */
export function openParquetFile({ name, content }: ExtractFile): Promise<ParquetFile> {
  const file: AsyncBuffer = { byteLength: content.size, slice: (start, end) => partOf(content, start, end).arrayBuffer() };
  return decoding(name, async () => {
    const scan = await parquetScan({ file, compressors }), { metadata } = scan, { children: columns } = parquetSchema(metadata);
    if (columns.some(({ element }) => typeof (element.name as unknown) !== 'string')) throw new Error('a column has no name'); // a damaged footer may lack it
    return { scan, options: { file, compressors, metadata }, columns };
  });
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
