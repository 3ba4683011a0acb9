import { openAsBlob } from 'node:fs';
import { readdir, stat } from 'node:fs/promises';
import { basename, join, relative, sep } from 'node:path';
import { tableNames } from '../contract/fields';
import type { ExtractFile } from '../intake/extractFile';

/**
 * The files of a folder, or the one file at the path: a zip or a table. Of the folders in it, those that are called like a table are looked into, whose
 * parts they may hold. Contents are read when they are needed.
 */
export async function readExtractFiles(path: string): Promise<ExtractFile[]> {
  if (!(await stat(path)).isDirectory()) return [await extractFile(path, basename(path))];
  const entries = await readdir(path, { withFileTypes: true }), isTable = (name: string): boolean => tableNames.some((table) => table === name);
  const inFolders = await Promise.all(entries.filter((entry) => entry.isDirectory() && isTable(entry.name))
    .map(async ({ name }) => (await readdir(join(path, name), { withFileTypes: true, recursive: true })).filter((entry) => entry.isFile()).map((entry) => join(entry.parentPath, entry.name))));
  const files = [...entries.filter((entry) => entry.isFile()).map((entry) => join(path, entry.name)), ...inFolders.flat()];
  return Promise.all(files.map((file) => extractFile(file, relative(path, file).replaceAll(sep, '/'))));
}

const extractFile = async (path: string, name: string): Promise<ExtractFile> => ({ name, content: await openAsBlob(path), path });
