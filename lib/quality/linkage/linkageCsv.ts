import { csvLine } from '../../contract/csvText';
import type { Database } from '../../engine/database';
import { linkageRows, type LinkageRow } from './linkageRows';

const rowsAtOnce = 20_000;

export const linkedByWords: Readonly<Record<'id' | 'side' | 'none', string>> = { id: 'by the procedure it names', side: 'by patient, joint and side', none: 'not linked' };
export const countsAsWords: Readonly<Record<LinkageRow['countsAs'], string>> = {
  first_revision: 'first revision: the end point', re_revision: 'later revision', reoperation: 're-operation without change of a component',
  after_follow_up: 'revision after the end of follow-up', set_aside: 'set aside',
};

/**
 * Every re-operation of the files, one a row, as CSV text in pieces: where it stands, how it was linked, where its primary stands, what it counts
 * as and why. Identifiers and dates are left out: the lines lead to them in the person's own files.
 */
export async function* linkageCsv(database: Database): AsyncGenerator<string> {
  yield csvLine(['file', 'line', 'linked', 'primary_file', 'primary_line', 'counts_as', 'rule', 'why']);
  for (let from = 0; ; from += rowsAtOnce) {
    const rows = await linkageRows(database, from, rowsAtOnce);
    yield rows.map(({ file, line, linkedBy, primaryFile, primaryLine, countsAs, rule, why }) =>
      csvLine([file, line, linkedByWords[linkedBy ?? 'none'], primaryFile, primaryLine, countsAsWords[countsAs], rule, why])).join('');
    if (rows.length < rowsAtOnce) return;
  }
}
