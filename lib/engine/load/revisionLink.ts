import { sql, type LoadingDatabase } from '../database';
import { staging } from './loading';

/**
 * Makes the table `revision_link`: a row per staged re-operation that finds its primary among the staged procedures. By the key of the procedure
 * where the re-operation has one; otherwise by patient, joint and side, where all three are known of both. Made once, as looking for a primary
 * among all procedures takes long. A re-operation that is set aside later keeps its row; who sets a procedure aside takes out those of it.
 *
 * Columns: record (of the re-operation); of the procedure primary_record, primary_key, primary_patient, primary_joint, primary_side, primary_date
 * and primary_end (follow_up_end).
 */
export async function createRevisionLink(database: LoadingDatabase): Promise<void> {
  const revisions = staging('revisions'), procedures = staging('procedures');
  const of = `SELECT r.record, p.record AS primary_record, p.procedure_id AS primary_key, p.patient_id AS primary_patient, p.joint AS primary_joint,
    p.side AS primary_side, p.procedure_date AS primary_date, p.follow_up_end AS primary_end`;
  await database.query(sql(`CREATE TEMP TABLE revision_link AS
    ${of} FROM ${procedures} p JOIN ${revisions} r ON r.procedure_id = p.procedure_id
    UNION ALL
    ${of} FROM ${procedures} p JOIN ${revisions} r ON r.patient_id = p.patient_id AND r.joint = p.joint AND r.side = p.side WHERE r.procedure_id IS NULL`));
}

/** SQL: joins its primary to a staged re-operation `t`, if it has one, as `l`. */
export const withPrimary = 'LEFT JOIN revision_link l USING (record)';

/** SQL: a procedure that was set aside, `p`, is one that a re-operation `t` names, or could mean. */
export const sameKey = 'p.procedure_id = t.procedure_id', sameSide = 'p.patient_id = t.patient_id AND p.joint = t.joint AND p.side = t.side';

export const isGone = (condition: string): string => `EXISTS (SELECT 1 FROM gone_procedure p WHERE ${condition})`;
export const goneRecord = (condition: string): string => `(SELECT min(p.record) FROM gone_procedure p WHERE ${condition})`;
