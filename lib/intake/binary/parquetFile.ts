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
  const file: AsyncBuffer = { byteLength: content.size, slice: (start, end) => content.slice(start, end).arrayBuffer() };
  return decoding(name, async () => {
    const scan = await parquetScan({ file, compressors }), { metadata } = scan, { children: columns } = parquetSchema(metadata);
    if (columns.some(({ element }) => typeof (element.name as unknown) !== 'string')) throw new Error('a column has no name'); // a damaged footer may lack it
    return { scan, options: { file, compressors, metadata }, columns };
  });
}

/** Makes a Refusal of whatever the decoder throws. */
export async function decoding<T>(file: string, work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (error) {
    throw new Refusal([problem('damaged_parquet', `this is no Parquet file, or it is damaged or cut short (${error instanceof Error ? error.message : String(error)})`, { file })]);
  }
}
