import { sql, type LoadingDatabase } from '../database';
import { staging } from './loading';

/**
 * Makes the table `reoperated` and the view `revision_link`.
 *
 * `reoperated`: the staged procedures that a staged re-operation may be of, by its key or by its patient. They are few, and looking for a
 * primary among all procedures takes long.
 *
 * `revision_link`: a row per staged re-operation that finds its primary among them. By the key of the procedure where the re-operation has one;
 * otherwise by patient, joint and side, where all three are known of both. Columns: record (of the re-operation), procedure_record, and
 * procedure_date, patient_id and joint of the procedure.
 */
export async function createRevisionLink(database: LoadingDatabase): Promise<void> {
  const revisions = staging('revisions');
  await database.query(sql(`CREATE TEMP TABLE reoperated AS SELECT procedure_id, patient_id, joint, side, procedure_date, record FROM ${staging('procedures')}
    WHERE procedure_id IN (SELECT procedure_id FROM ${revisions}) OR patient_id IN (SELECT patient_id FROM ${revisions} WHERE procedure_id IS NULL)`));
  const of = 'SELECT r.record, p.record AS procedure_record, p.procedure_date, p.patient_id, p.joint';
  await database.query(sql(`CREATE TEMP VIEW revision_link AS
    ${of} FROM ${revisions} r JOIN reoperated p ON p.procedure_id = r.procedure_id
    UNION ALL
    ${of} FROM ${revisions} r JOIN reoperated p ON p.patient_id = r.patient_id AND p.joint = r.joint AND p.side = r.side WHERE r.procedure_id IS NULL`));
}
