import { existsSync, mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { csvFiles } from '../../sample-registry/csvFiles';
import { parquetFiles } from '../../sample-registry/parquetFiles';
import { simulate } from '../../sample-registry/simulate';
import { writeOneFile } from './loading/oneFile';

export const seed = 7;
export type Format = 'CSV' | 'Parquet' | 'one CSV'; // the last: all in one file, with its mapping

/** The folder with the files of so many procedures under `base`, made once. */
export function filesOf(base: string, size: number, format: Format): string {
  const folder = join(base, `${format.toLowerCase().replace(' ', '-')}-${size}`);
  if (format === 'one CSV') {
    if (existsSync(join(folder, 'mapping.json'))) return folder; // written last
    mkdirSync(folder, { recursive: true });
    writeOneFile(folder, size, seed);
  } else if (!existsSync(join(folder, `registry.${format.toLowerCase()}`))) {
    mkdirSync(folder, { recursive: true });
    const files = format === 'CSV' ? csvFiles(folder) : parquetFiles(folder);
    simulate({ procedures: size, seed }, files);
    files.close();
  }
  return folder;
}
