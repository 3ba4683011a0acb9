import { existsSync, linkSync, mkdirSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { csvFiles } from '../../sample-registry/csvFiles';
import { parquetFiles } from '../../sample-registry/parquetFiles';
import { simulate } from '../../sample-registry/simulate';
import { writeOneFile } from './loading/oneFile';

export const seed = 7;
export const formats = ['CSV', 'Parquet', 'CSV without visits', 'Parquet without visits', 'one CSV', 'one Parquet'] as const; // the last two: all in one file, with its mapping
export type Format = (typeof formats)[number];

/** The folder with the files of so many procedures under `base`, made once. */
export function filesOf(base: string, size: number, format: Format): string {
  const folder = join(base, `${format.toLowerCase().replaceAll(' ', '-')}-${size}`);
  if (format === 'one CSV' || format === 'one Parquet') {
    if (existsSync(join(folder, 'mapping.json'))) return folder; // written last
    mkdirSync(folder, { recursive: true });
    writeOneFile(folder, size, seed, format === 'one CSV' ? 'csv' : 'parquet');
  } else if (format === 'CSV without visits' || format === 'Parquet without visits') {
    const whole = filesOf(base, size, format === 'CSV without visits' ? 'CSV' : 'Parquet');
    mkdirSync(folder, { recursive: true });
    for (const name of readdirSync(whole)) if (!name.startsWith('followups') && !existsSync(join(folder, name))) linkSync(join(whole, name), join(folder, name));
  } else if (!existsSync(join(folder, `registry.${format.toLowerCase()}`))) {
    mkdirSync(folder, { recursive: true });
    const files = format === 'CSV' ? csvFiles(folder) : parquetFiles(folder);
    simulate({ procedures: size, seed }, files);
    files.close();
  }
  return folder;
}
