import { existsSync, mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { csvFiles } from '../../sample-registry/csvFiles';
import { parquetFiles } from '../../sample-registry/parquetFiles';
import { simulate } from '../../sample-registry/simulate';

export const seed = 7;
export type Format = 'CSV' | 'Parquet';

/** The folder with the files of so many procedures under `base`, made once. */
export function filesOf(base: string, size: number, format: Format): string {
  const folder = join(base, `${format.toLowerCase()}-${size}`);
  if (!existsSync(join(folder, `registry.${format.toLowerCase()}`))) {
    mkdirSync(folder, { recursive: true });
    const files = format === 'CSV' ? csvFiles(folder) : parquetFiles(folder);
    simulate({ procedures: size, seed }, files);
    files.close();
  }
  return folder;
}
