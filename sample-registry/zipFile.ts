import { closeSync, openSync, readSync, writeSync } from 'node:fs';
import { basename } from 'node:path';
import { Zip, ZipDeflate } from 'fflate';

/** A time stamp would make two zips of the same extract differ. */
const fixedTime = new Date(1980, 0, 1);
const chunkBytes = 1 << 20;

/** Packs files into one zip, a chunk at a time; the same files give the same bytes. */
export function zipFiles(files: readonly string[], zipFile: string): void {
  const out = openSync(zipFile, 'w');
  const zip = new Zip((error, bytes) => {
    if (error) throw error;
    writeSync(out, bytes);
  });
  for (const file of files) {
    const entry = new ZipDeflate(basename(file), { level: 9, mem: 12 });
    entry.mtime = fixedTime;
    zip.add(entry);
    const input = openSync(file, 'r');
    for (;;) {
      const chunk = new Uint8Array(chunkBytes);
      const read = readSync(input, chunk);
      entry.push(chunk.subarray(0, read), read === 0);
      if (read === 0) break;
    }
    closeSync(input);
  }
  zip.end();
  closeSync(out);
}
