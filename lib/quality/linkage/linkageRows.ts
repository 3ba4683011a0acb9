import { rules, type RuleId } from '../../contract/rules';
import { sql, type Database } from '../../engine/database';
import { joinLines, lineOf } from '../../engine/lines';

/** One re-operation of the files: where it stands, how it came to its procedure, and what it counts as. Holds no identifier and no date. */
export interface LinkageRow {
  readonly file: string;
  readonly line: number;
  readonly linkedBy: 'id' | 'side' | null; // null: it was set aside
  readonly primaryFile: string | null;
  readonly primaryLine: number | null; // of the procedure it was linked to or, where it was set aside, held against
  readonly countsAs: 'first_revision' | 're_revision' | 'reoperation' | 'after_follow_up' | 'set_aside';
  readonly rule: RuleId | null; // by which it was set aside
  readonly why: string; // a finished sentence
}

/** Re-operations in the order of the files, from the `from`-th (0: the first) on. */
export async function linkageRows(database: Database, from: number, count: number): Promise<readonly LinkageRow[]> {
  const rows = await database.query(sql(`WITH every AS (
      SELECT r.record, NULL::INTEGER AS line, r.procedure, r.linked_by_id, r.counts_as, NULL AS rule, p.record AS primary_record, f.record AS first_record
      FROM revisions r JOIN procedures p USING (procedure) LEFT JOIN (SELECT procedure, record FROM revisions WHERE counts_as = 'first_revision') f USING (procedure)
      UNION ALL SELECT record, line, NULL, NULL, 'set_aside', rule, primary_record, NULL FROM set_aside WHERE "table" = 'revisions' AND scope = 'record'),
    placed AS (SELECT e.*, coalesce(l.file, (SELECT min(file) FROM line_start WHERE "table" = 'revisions')) AS file, coalesce(e.line, ${lineOf('e.record', 'l')}) AS at_line FROM every e ${joinLines('l', "'revisions'", 'e.record')}),
    page AS (SELECT * FROM placed ORDER BY file, at_line LIMIT ${count} OFFSET ${from})
    SELECT e.at_line AS line, e.file, e.linked_by_id::VARCHAR AS by_id, e.counts_as, e.rule,
      pl.file AS primary_file, ${lineOf('e.primary_record', 'pl')} AS primary_line, ${lineOf('e.first_record', 'fl')} AS first_line, d.ending::VARCHAR AS ending
    FROM page e ${joinLines('pl', "'procedures'", 'e.primary_record')} ${joinLines('fl', "'revisions'", 'e.first_record')}
    LEFT JOIN followup d ON d.procedure = e.procedure ORDER BY e.file, e.at_line`));
  const line = rows.numbers('line'), file = rows.texts('file'), byId = rows.texts('by_id'), countsAs = rows.texts('counts_as'), rule = rows.texts('rule');
  const primaryFile = rows.texts('primary_file'), primaryLine = rows.numbers('primary_line'), firstLine = rows.numbers('first_line'), ending = rows.texts('ending');
  return Array.from(line, (at, i): LinkageRow => {
    const as = countsAs[i] as LinkageRow['countsAs'], broken = (rule[i] ?? null) as RuleId | null;
    return {
      file: file[i] ?? '', line: at, linkedBy: byId[i] === null ? null : byId[i] === 'true' ? 'id' : 'side',
      primaryFile: primaryFile[i] ?? null, primaryLine: Number.isNaN(primaryLine[i]!) ? null : primaryLine[i]!,
      countsAs: as, rule: broken, why: whyWords(as, broken, firstLine[i]!, ending[i] ?? null),
    };
  });
}

function whyWords(countsAs: LinkageRow['countsAs'], rule: RuleId | null, firstLine: number, ending: string | null): string {
  switch (countsAs) {
    case 'first_revision': return 'The earliest re-operation of this procedure in which a component was removed, exchanged or added.';
    case 're_revision': return Number.isNaN(firstLine)
      ? 'A component was changed, but an earlier revision came after the end of follow-up already.'
      : `A component was changed, but the first revision of this procedure stands in line ${firstLine}.`;
    case 'reoperation': return 'No component was removed, exchanged or added.';
    case 'after_follow_up': return ending === 'death'
      ? 'A component was changed, but follow-up of this procedure had ended with death.'
      : 'A component was changed, but follow-up of this procedure had ended before.';
    case 'set_aside': return rule === null ? 'Set aside.' : `${rules[rule].title}.`;
  }
}
