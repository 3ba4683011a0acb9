import { passing, sql, type LoadingDatabase } from '../database';
import { repeated } from './duplicates';
import { countOf, staging } from './loading';

/** The procedures of patients who have several, and perhaps a few others. They are looked for once: it takes long among all procedures. */
export const several = passing('several_procedures');

/** SQL: those of them that were not set aside. */
export const keptOfSeveral = `(FROM ${several} ANTI JOIN gone_procedure USING (record))`;

export async function createSeveral(database: LoadingDatabase): Promise<void> {
  const procedures = staging('procedures'), some = await countOf(database, `(SELECT 1 FROM ${procedures} WHERE patient_id IS NOT NULL LIMIT 1)`) > 0;
  await database.query(sql(`CREATE TABLE ${several} AS SELECT record, patient_id, joint, side, procedure_date FROM ${procedures} WHERE ${some ? repeated(procedures, ['patient_id']) : 'false'}`));
}
