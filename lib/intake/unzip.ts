import { BlobReader, ZipReader, type FileEntry } from '@zip.js/zip.js';
import { collectBlob } from './collectBlob';
import type { ExtractFile } from './extractFile';
import { problem, refuse, Refusal } from './refusal';

// Guards against archives made to fill the memory. Text of a registry shrinks 5- to 20-fold (seen in the sample registry).
const mostEntries = 10_000;
const mostBytes = 16 * 1024 ** 3;
const suspiciousBytes = 256 * 1024 ** 2;
const mostTimesLarger = 200;

/** Far larger than text of a registry shrinks. */
export const looksLikeBomb = (size: number, packed: number): boolean => size > suspiciousBytes && size > mostTimesLarger * packed;

export const isZip = (file: ExtractFile): boolean => /\.zip$/i.test(file.name);

export interface Archive {
  readonly names: readonly string[];
  /** Unpacks one file, its checksum compared. */
  open(name: string, signal: AbortSignal): Promise<ExtractFile>;
}

/** Reads the directory of a zip; nothing is unpacked yet. */
export async function openArchive(zip: ExtractFile): Promise<Archive> {
  const reader = new ZipReader(new BlobReader(zip.content), { useWebWorkers: false, checkSignature: true, checkOverlappingEntry: true });
  const entries = new Map<string, FileEntry>();
  try {
    for await (const entry of reader.getEntriesGenerator()) {
      if (entry.directory) continue;
      if (entries.size === mostEntries) refuse('zip_too_large', `the zip holds more than ${mostEntries.toLocaleString('en')} files`, { file: zip.name });
      entries.set(entry.filename, entry);
    }
  } catch (error) {
    throw corrupt(zip.name, error);
  }
  let unpacked = 0;
  return {
    names: [...entries.keys()],
    open: async (name, signal) => {
      const entry = entries.get(name);
      if (entry === undefined) return refuse('corrupt_zip', `the zip does not hold ${name}`, { file: zip.name });
      const guard = (size: number): void => {
        if (unpacked > mostBytes || looksLikeBomb(size, entry.compressedSize)) {
          refuse('zip_too_large', `${name} grows to more than ${mostTimesLarger} times its packed size or the files to more than 16 GiB: this looks like a zip bomb`, { file: zip.name });
        }
      };
      guard(entry.uncompressedSize); // as stated; what comes out is watched below
      if (entry.encrypted) refuse('encrypted_zip', `${name} is protected by a password`, { file: zip.name });
      let before = 0;
      const { sink, blob } = collectBlob((size) => {
        unpacked += size - before;
        before = size;
        guard(size);
      });
      try {
        await entry.getData(sink, { signal });
      } catch (error) {
        signal.throwIfAborted();
        throw corrupt(zip.name, error, name);
      }
      return { name, content: blob() };
    },
  };
}

function corrupt(file: string, error: unknown, entry?: string): Refusal {
  if (error instanceof Refusal) return error;
  const reason = error instanceof Error ? error.message : String(error);
  return new Refusal([problem('corrupt_zip', `${entry === undefined ? 'the file is no zip, or is cut short' : `${entry} is damaged in it`} (${reason})`, { file })]);
}
