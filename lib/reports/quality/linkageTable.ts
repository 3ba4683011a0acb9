import { countsAsWords, linkedByWords } from '../../quality/linkage/linkageCsv';
import type { LinkageRow } from '../../quality/linkage/linkageRows';
import { text, type ReportTable } from '../table';
import { words } from '../tableCells';

const withFile = (several: boolean, file: string | null, line: number | null): string => (line === null ? '' : several ? `${file ?? ''}: ${line}` : String(line));

/** Some of the re-operations of the files, one a row. Lines lead to the records in the person's own files. */
export function linkageTable(rows: readonly LinkageRow[]): ReportTable {
  const several = (files: readonly (string | null)[]): boolean => new Set(files.filter((file) => file !== null)).size > 1;
  const many = several(rows.map(({ file }) => file)), manyPrimaries = several(rows.map(({ primaryFile }) => primaryFile));
  return {
    name: 'linkage-rows', title: 'Every re-operation, row by row',
    method: 'Lines count from 1, the header included; rows of a Parquet file from 1.',
    columns: [words('Line'), words('Linked'), words('Line of the primary'), words('Counts as'), words('Why')],
    rows: rows.map(({ file, line, linkedBy, primaryFile, primaryLine, countsAs, why }) => ({
      cells: [text(withFile(many, file, line)), text(linkedByWords[linkedBy ?? 'none']), text(withFile(manyPrimaries, primaryFile, primaryLine)), text(countsAsWords[countsAs]), text(why)],
    })),
  };
}
