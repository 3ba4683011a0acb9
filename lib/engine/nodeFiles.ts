import { openAsBlob } from 'node:fs';
import { readdir, stat } from 'node:fs/promises';
import { basename, join } from 'node:path';
import type { ExtractFile } from '../intake/extractFile';

/** The files of a folder (not of folders in it), or the one file at the path: a zip or a table. Contents are read when they are needed. */
export async function readExtractFiles(path: string): Promise<ExtractFile[]> {
  if (!(await stat(path)).isDirectory()) return [await extractFile(path)];
  const entries = await readdir(path, { withFileTypes: true });
  return Promise.all(entries.filter((entry) => entry.isFile()).map((entry) => extractFile(join(path, entry.name))));
}

const extractFile = async (path: string): Promise<ExtractFile> => ({ name: basename(path), content: await openAsBlob(path), path });
