/** What a file is, told by its first bytes; its name does not matter. */
export type FileFormat = 'text' | 'zip' | 'gzip' | 'parquet' | 'arrow';

const startBytes = 8;
const magic: readonly { readonly bytes: readonly number[]; readonly is: FileFormat | { readonly refused: string } }[] = [
  { bytes: [0x50, 0x4b, 0x03, 0x04], is: 'zip' },
  { bytes: [0x50, 0x4b, 0x05, 0x06], is: { refused: 'the zip is empty' } },
  { bytes: [0x1f, 0x8b], is: 'gzip' },
  { bytes: [0x50, 0x41, 0x52, 0x31], is: 'parquet' }, // PAR1
  { bytes: [0x50, 0x41, 0x52, 0x45], is: { refused: 'this Parquet file is encrypted' } }, // PARE
  { bytes: [0x41, 0x52, 0x52, 0x4f, 0x57, 0x31], is: 'arrow' }, // ARROW1, a file
  { bytes: [0xff, 0xff, 0xff, 0xff], is: 'arrow' }, // a stream
  { bytes: [0x46, 0x45, 0x41, 0x31], is: { refused: 'this is a Feather file of version 1; write it as version 2, which is Arrow, or as Parquet' } }, // FEA1
  { bytes: [0xd0, 0xcf, 0x11, 0xe0], is: { refused: 'this is a workbook of the old kind (.xls) or one protected by a password; save it as .xlsx without a password' } },
  { bytes: [0x25, 0x50, 0x44, 0x46], is: { refused: 'this is a PDF, not a table' } },
  { bytes: [0x37, 0x7a, 0xbc, 0xaf], is: { refused: 'this is a 7z archive; pack the files as zip or leave them unpacked' } },
  { bytes: [0x52, 0x61, 0x72, 0x21], is: { refused: 'this is a RAR archive; pack the files as zip or leave them unpacked' } },
  { bytes: [0x28, 0xb5, 0x2f, 0xfd], is: { refused: 'this is packed with Zstandard; unpack it or use gzip or zip' } },
  { bytes: [0x42, 0x5a, 0x68], is: { refused: 'this is packed with bzip2; unpack it or use gzip or zip' } },
  { bytes: [0xfd, 0x37, 0x7a, 0x58, 0x5a], is: { refused: 'this is packed with xz; unpack it or use gzip or zip' } },
];

/** `refused` says in words what it is that can't be read. */
export async function formatOf(content: Blob): Promise<FileFormat | { readonly refused: string }> {
  const start = new Uint8Array(await content.slice(0, startBytes).arrayBuffer());
  if (start.length === 0) return { refused: 'the file is empty' };
  return magic.find(({ bytes }) => bytes.every((byte, i) => start[i] === byte))?.is ?? 'text';
}
