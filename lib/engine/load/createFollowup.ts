import { roleCodes } from '../../contract/codes';
import { compress, quoteText, sql, type LoadingDatabase } from '../database';
import { componentColumn, roleBit } from '../followupTable';
import { died } from './acceptedTables';
import { codeText, codeType } from './codeTypes';
import { columnDefinitions } from './compression';
import { blocksOf } from './rowBlocks';

/**
 * Makes the table `followup` (see followupTable.ts) from the accepted tables, in blocks; `onBlock` hears the fraction done. A design class that
 * a component does not say is that of its model in the catalogue, where the extract has one.
 */
export async function createFollowup(
  database: LoadingDatabase, { procedures, catalogued, closing }: { procedures: number; catalogued: boolean; closing: string }, onBlock: (fraction: number) => void,
): Promise<void> {
  const roles = await database.query(sql(`SELECT role::VARCHAR AS role, max(design_class IS NULL)::INTEGER AS design_missing FROM components GROUP BY role`));
  const designMissing = roles.numbers('design_missing');
  const present = new Map(roles.texts('role').map((role, i) => [role, catalogued && designMissing[i] === 1]));
  const rows = followupRows(present, closing);
  await database.query(sql(`CREATE TABLE followup (${columnDefinitions(rows.columns, rows.empty)})`));
  for (const { where, done } of blocksOf('procedure', procedures)) {
    await database.query(sql(`INSERT INTO followup ${rows.select(where)}`));
    await compress(database);
    onBlock(done);
  }
}

interface FollowupRows {
  readonly columns: readonly (readonly [name: string, type: string])[];
  readonly empty: ReadonlySet<string>; // columns of components that no procedure has
  readonly select: (block: string) => string;
}

/** @param present the roles that components have, and whether some component of the role takes its design class from the catalogue */
function followupRows(present: ReadonlyMap<string | null, boolean>, closing: string): FollowupRows {
  const ofRole = roleCodes.filter(({ code }) => present.has(code)).map(({ code }) => code);
  const parts = [['model', 'model_code'], ['design', codeType('design_class')], ['material', codeType('material')]] as const;
  const ofComponents = roleCodes.flatMap(({ code }) => parts.map(([what, type]) => [componentColumn(code, what), type, ofRole.includes(code) ? `${code}.${what}` : 'NULL'] as const));
  const catalogued = {
    design: 'coalesce(c.design_class, m.design_class)',
    join: 'LEFT JOIN (SELECT model_code::model_code AS model_code, design_class FROM models) m ON m.model_code = c.model_code',
  };
  const reason = `(list_sort(list_transform(string_split(reasons, ';'), lambda code: code::${codeType('reason')}))[1])`;
  const removed = roleCodes.map(({ code }) =>
    `CASE WHEN list_contains(string_split(components_removed, ';'), ${quoteText(code)}) THEN ${roleBit(code)} ELSE 0 END`);
  const exit = `least(r.revision_date, d.death_date, p.follow_up_end, DATE '${closing}')`;
  const columns = [
    ['procedure', 'INTEGER', 'p.procedure'], ['patient', 'INTEGER', 'p.patient'], ['patient_known', 'BOOLEAN', 'p.patient_id IS NOT NULL'],
    ['hospital', 'hospital_id', 'p.hospital_id'], ['surgeon', 'surgeon_id', 'p.surgeon_id'], ['region', 'region_id', 'p.region'],
    ...([['joint', 'joint'], ['side', 'side'], ['class', 'procedure_class'], ['indication', 'indication'], ['sex', 'sex'], ['approach', 'approach'],
      ['proximal_fixation', 'fixation'], ['distal_fixation', 'fixation']] as const).map(([name, list]) => [name, codeType(list), `p.${name}`] as const),
    ['year', 'SMALLINT', 'year(p.procedure_date)'], ['procedure_day', 'INTEGER', "p.procedure_date - DATE '1970-01-01'"],
    ['age', 'UTINYINT', 'p.age_years'], ['asa', 'UTINYINT', 'p.asa_grade'], ['bmi', 'FLOAT', 'p.bmi'],
    ['entry_day', 'INTEGER', 'CASE WHEN p.follow_up_start > p.procedure_date THEN p.follow_up_start - p.procedure_date END'],
    ['exit_day', 'INTEGER', `${exit} - p.procedure_date`],
    ['ending', "ENUM('censored', 'revision', 'death')", `CASE WHEN r.procedure IS NOT NULL THEN 'revision' WHEN d.death_date = ${exit} THEN 'death' ELSE 'censored' END`],
    ['kind', "ENUM('major', 'minor', 'unspecified')", 'r.kind::VARCHAR'], ['reason', codeType('reason'), 'r.reason'], ['removed', 'UINTEGER', 'r.removed'],
    ...ofComponents,
  ] as const;
  const select = (block: string): string => `
    SELECT ${columns.map(([name, type, value]) => `(${value})::${type} AS ${name}`).join(', ')}
    FROM (FROM procedures WHERE ${block}) p LEFT JOIN (FROM ${died} WHERE ${block}) d ON d.procedure = p.procedure
    LEFT JOIN (SELECT procedure, revision_date, kind, ${reason} AS reason, ${removed.join(' + ')} AS removed
      FROM revisions WHERE counts_as = 'first_revision' AND ${block}) r ON r.procedure = p.procedure
    ${ofRole.map((role) => `LEFT JOIN (SELECT procedure, c.model_code AS model, ${present.get(role) === true ? catalogued.design : 'design_class'} AS design, material
      FROM components c ${present.get(role) === true ? catalogued.join : ''} WHERE c.role = ${codeText('role', role)} AND ${block}) ${role} ON ${role}.procedure = p.procedure`).join(' ')}`;
  return { columns: columns.map(([name, type]) => [name, type]), empty: new Set(ofComponents.filter(([, , value]) => value === 'NULL').map(([name]) => name)), select };
}
