import type { Problem } from '../contract/loadReport';
import type { ExtractFile } from './extractFile';
import { formatOf } from './fileFormat';
import { gunzip } from './gunzip';
import { problem, Refusal, someOf } from './refusal';
import { openArchive } from './unzip';

/** A file that holds tables, unpacked. `name` is without folder. */
export interface UnpackedFile extends ExtractFile {
  readonly format: 'text' | 'workbook' | 'parquet' | 'arrow';
}

export interface Unpacked {
  readonly files: readonly UnpackedFile[];
  readonly problems: readonly Problem[];
}

const clutter = /(^|\/)(__MACOSX\/|\.|~\$|thumbs\.db$|desktop\.ini$)/i;
const notATable = /\.(json|md|html?|pdf|docx?|sps|sas|do|r|py|log)$/i;
const baseName = (path: string): string => path.slice(path.lastIndexOf('/') + 1);

/**
 * The files that may hold tables: those of zips and gzip files unpacked, what a desktop leaves behind left out. What can't be read is a
 * problem that names the file; the others stay. `wanted` spares the unpacking of files that nobody asks for.
 */
export async function unpack(given: readonly ExtractFile[], signal: AbortSignal, wanted: (name: string) => boolean = () => true): Promise<Unpacked> {
  const files: UnpackedFile[] = [], problems: Problem[] = [];
  const take = async (file: ExtractFile, inZip: boolean): Promise<void> => {
    signal.throwIfAborted();
    if (clutter.test(file.name)) return;
    const named: ExtractFile = { ...file, name: baseName(file.name.replaceAll('\\', '/')) };
    try {
      for (const each of await opened(named, inZip)) files.push(each);
    } catch (error) {
      if (!(error instanceof Refusal)) throw error;
      problems.push(...error.problems);
    }
  };
  const opened = async (file: ExtractFile, inZip: boolean): Promise<readonly UnpackedFile[]> => {
    const format = await formatOf(file.content);
    if (typeof format === 'object') throw new Refusal([problem('not_a_table', format.refused, { file: file.name })]);
    if (format === 'gzip') return wanted(file.name.replace(/\.gz(ip)?$/i, '')) ? opened(await gunzip(file, signal), inZip) : [];
    if (format !== 'zip') return wanted(file.name) ? [{ ...file, format }] : [];
    const archive = await openArchive(file);
    if (archive.names.some((name) => /^xl\/workbook\.xml$/i.test(name))) return wanted(file.name) ? [{ ...file, format: 'workbook' }] : [];
    const other = otherPackage(archive.names);
    if (other !== null) throw new Refusal([problem('not_a_table', other, { file: file.name })]);
    if (inZip) throw new Refusal([problem('zip_in_zip', 'this is a zip within a zip; unpack the outer one', { file: file.name })]);
    for (const name of archive.names) {
      const path = name.replaceAll('\\', '/');
      if (clutter.test(path) || notATable.test(path)) continue;
      if (!/\.(gz|gzip)$/i.test(path) && !wanted(baseName(path))) continue;
      try {
        await take({ ...await archive.open(name, signal), name: path }, true);
      } catch (error) {
        if (!(error instanceof Refusal)) throw error;
        problems.push(...error.problems);
      }
    }
    return [];
  };
  for (const file of given) if (!notATable.test(file.name)) await take(file, false);
  return { files, problems: [...problems, ...twice(files)] };
}

function otherPackage(names: readonly string[]): string | null {
  if (names.some((name) => /^xl\/workbook\.bin$/i.test(name))) return 'this is a binary workbook (.xlsb); save it as .xlsx';
  if (names.includes('content.xml') && names.includes('mimetype')) return 'this is an OpenDocument file; save the sheets as .xlsx or CSV';
  return names.includes('[Content_Types].xml') ? 'this is an office document, not a workbook' : null;
}

function twice(files: readonly UnpackedFile[]): Problem[] {
  const names = files.map(({ name }) => name.toLowerCase());
  const repeated = [...new Set(names.filter((name, i) => names.indexOf(name) !== i))];
  return repeated.length === 0 ? [] : [problem('two_files', `more than one file has the name ${someOf(repeated)}; a mapping could not tell them apart`)];
}
