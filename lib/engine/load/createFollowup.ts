import { roleCodes, type Role } from '../../contract/codes';
import { compress, quoteText, sql, type LoadingDatabase } from '../database';
import { componentColumn, roleBit } from '../followupTable';
import { endOfFollowUp } from './acceptedTables';
import { codeText, codeType } from './codeTypes';
import { blocksOf } from './rowBlocks';

/**
 * Makes the table `followup` (see followupTable.ts) from the accepted tables, in blocks; `onBlock` hears the fraction done. A design class that
 * a component does not say is that of its model in the catalogue, where the extract has one.
 */
export async function createFollowup(
  database: LoadingDatabase, { procedures, catalogued }: { procedures: number; catalogued: boolean }, onBlock: (fraction: number) => void,
): Promise<void> {
  const roles = await database.query(sql(`SELECT role::VARCHAR AS role, max(design_class IS NULL)::INTEGER AS design_missing FROM components GROUP BY role`));
  const designMissing = roles.numbers('design_missing');
  const present = new Map(roles.texts('role').map((role, i) => [role, catalogued && designMissing[i] === 1]));
  for (const [i, { where, done }] of blocksOf('procedure', procedures).entries()) {
    await database.query(sql(`${i === 0 ? 'CREATE TABLE followup AS' : 'INSERT INTO followup'} ${followupRows(present, where)}`));
    await compress(database);
    onBlock(done);
  }
}

/** @param present the roles that components have, and whether some component of the role takes its design class from the catalogue */
function followupRows(present: ReadonlyMap<string | null, boolean>, block: string): string {
  const ofRole = roleCodes.filter(({ code }) => present.has(code)).map(({ code }) => code);
  const column = (role: Role, what: 'model' | 'design' | 'material', type: string): string =>
    `${ofRole.includes(role) ? `${role}.${what}` : 'NULL'}::${type} AS ${componentColumn(role, what)}`;
  const catalogued = {
    design: 'coalesce(c.design_class, m.design_class)',
    join: 'LEFT JOIN (SELECT model_code::model_code AS model_code, design_class FROM models) m ON m.model_code = c.model_code',
  };
  const reason = `(list_sort(list_transform(string_split(r.reasons, ';'), lambda code: code::${codeType('reason')}))[1])::${codeType('reason')}`;
  const removed = roleCodes.map(({ code }) =>
    `CASE WHEN list_contains(string_split(r.components_removed, ';'), ${quoteText(code)}) THEN ${roleBit(code)} ELSE 0 END`);
  return `
    SELECT p.procedure, p.patient, p.patient_id IS NOT NULL AS patient_known, p.hospital_id AS hospital, p.surgeon_id AS surgeon, p.region, p.joint, p.side, p.class, p.indication, p.sex,
      p.approach, p.proximal_fixation, p.distal_fixation, year(p.procedure_date)::SMALLINT AS year,
      (p.procedure_date - DATE '1970-01-01')::INTEGER AS procedure_day, p.age_years::UTINYINT AS age, p.asa_grade::UTINYINT AS asa, p.bmi::FLOAT AS bmi,
      (e.entry_date - p.procedure_date)::INTEGER AS entry_day, (e.exit_date - p.procedure_date)::INTEGER AS exit_day,
      e.ending,
      r.kind::VARCHAR::ENUM('major', 'minor', 'unspecified') AS kind, CASE WHEN r.procedure IS NOT NULL THEN ${reason} END AS reason,
      CASE WHEN r.procedure IS NOT NULL THEN (${removed.join(' + ')})::UINTEGER END AS removed,
      ${roleCodes.flatMap(({ code }) => [
        column(code, 'model', 'model_code'), column(code, 'design', codeType('design_class')), column(code, 'material', codeType('material')),
      ]).join(', ')}
    FROM (FROM procedures WHERE ${block}) p JOIN ${endOfFollowUp} e ON e.record = p.record
    LEFT JOIN (FROM revisions WHERE counts_as = 'first_revision' AND ${block}) r ON r.procedure = p.procedure
    ${ofRole.map((role) => `LEFT JOIN (SELECT procedure, c.model_code AS model, ${present.get(role) === true ? catalogued.design : 'design_class'} AS design, material
      FROM components c ${present.get(role) === true ? catalogued.join : ''} WHERE c.role = ${codeText('role', role)} AND ${block}) ${role} ON ${role}.procedure = p.procedure`).join(' ')}`;
}

