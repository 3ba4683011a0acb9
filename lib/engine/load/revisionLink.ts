import { sql, type LoadingDatabase } from '../database';
import { staging } from './loading';

/**
 * The view `revision_link`: a row per staged re-operation that finds its primary among the staged procedures. By the key of the procedure
 * where the re-operation has one; otherwise by patient, joint and side, where all three are known of both. Columns: record (of the
 * re-operation), procedure_record, and procedure_date, patient_id and joint of the procedure.
 */
export async function createRevisionLink(database: LoadingDatabase): Promise<void> {
  const of = 'SELECT r.record, p.record AS procedure_record, p.procedure_date, p.patient_id, p.joint';
  await database.query(sql(`CREATE TEMP VIEW revision_link AS
    ${of} FROM ${staging('revisions')} r JOIN ${staging('procedures')} p ON p.procedure_id = r.procedure_id
    UNION ALL
    ${of} FROM ${staging('revisions')} r JOIN ${staging('procedures')} p ON p.patient_id = r.patient_id AND p.joint = r.joint AND p.side = r.side
    WHERE r.procedure_id IS NULL`));
}
