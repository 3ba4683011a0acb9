import { appliesTo, joints, roleCodes, type Joint } from '../../contract/codes';
import { compress, passing, quoteText, sql, type LoadingDatabase } from '../database';
import { componentColumn, roleBit } from '../followupTable';
import { died } from './acceptedTables';
import { codeText, codeType } from './codeTypes';
import { columnDefinitions } from './compression';
import { blocksOf } from './rowBlocks';

const revised = passing('revised');

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
  const rows = followupRows(present, closing), replaced = (await database.query(sql('SELECT DISTINCT joint::VARCHAR AS joint FROM procedures'))).texts('joint');
  await database.query(sql(`CREATE TABLE followup (${columnDefinitions(rows.columns, rows.empty)})`));
  await createRevised(database);
  for (const { where, done } of blocksOf('procedure', procedures)) {
    for (const joint of joints.filter((each) => replaced.includes(each))) await database.query(sql(`INSERT INTO followup ${rows.select(where, joint)}`));
    await compress(database);
    onBlock(done);
  }
  await database.query(sql(`DROP TABLE ${revised}`));
}

/** The table `revised`: the first revisions that end follow-up, by procedure. */
async function createRevised(database: LoadingDatabase): Promise<void> {
  const reason = `(list_sort(list_transform(string_split(reasons, ';'), lambda code: code::${codeType('reason')}))[1])`;
  const removed = roleCodes.map(({ code }) =>
    `CASE WHEN list_contains(string_split(components_removed, ';'), ${quoteText(code)}) THEN ${roleBit(code)} ELSE 0 END`);
  await database.query(sql(`CREATE TABLE ${revised} AS SELECT procedure, revision_date, kind, ${reason} AS reason, ${removed.join(' + ')} AS removed
    FROM revisions WHERE counts_as = 'first_revision'`));
}

interface FollowupRows {
  readonly columns: readonly (readonly [name: string, type: string])[];
  readonly empty: ReadonlySet<string>; // columns of components that no procedure has
  /** Those of a joint, which can have some roles only: looking for the others would take as long. */
  readonly select: (block: string, joint: Joint) => string;
}

/** @param present the roles that components have, and whether some component of the role takes its design class from the catalogue */
function followupRows(present: ReadonlyMap<string | null, boolean>, closing: string): FollowupRows {
  const parts = [['model', 'model_code'], ['design', codeType('design_class')], ['material', codeType('material')]] as const;
  const ofComponents = roleCodes.flatMap(({ code }) => parts.map(([what, type]) => ({ role: code, name: componentColumn(code, what), type, value: `${code}.${what}` })));
  const catalogued = {
    design: 'coalesce(c.design_class, m.design_class)',
    join: 'LEFT JOIN (SELECT model_code::model_code AS model_code, design_class FROM models) m ON m.model_code = c.model_code',
  };
  const exit = `least(r.revision_date, d.death_date, p.follow_up_end, DATE '${closing}')`;
  const ofProcedure = [
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
  ] as const;
  const select = (block: string, joint: Joint): string => {
    const roles = roleCodes.filter((role) => present.has(role.code) && appliesTo(role, joint)).map(({ code }) => code);
    return `
    SELECT ${ofProcedure.map(([name, type, value]) => `(${value})::${type} AS ${name}`).join(', ')},
      ${ofComponents.map(({ role, name, type, value }) => `${roles.includes(role) ? value : 'NULL'}::${type} AS ${name}`).join(', ')}
    FROM (FROM procedures WHERE joint = ${codeText('joint', joint)} AND ${block}) p LEFT JOIN (FROM ${died} WHERE ${block}) d ON d.procedure = p.procedure
    LEFT JOIN (FROM ${revised} WHERE ${block}) r ON r.procedure = p.procedure
    ${roles.map((role) => `LEFT JOIN (SELECT procedure, c.model_code AS model, ${present.get(role) === true ? catalogued.design : 'design_class'} AS design, material
      FROM components c ${present.get(role) === true ? catalogued.join : ''} WHERE c.role = ${codeText('role', role)} AND ${block}) ${role} ON ${role}.procedure = p.procedure`).join(' ')}`;
  };
  return {
    columns: [...ofProcedure.map(([name, type]) => [name, type] as const), ...ofComponents.map(({ name, type }) => [name, type] as const)],
    empty: new Set(ofComponents.filter(({ role }) => !present.has(role)).map(({ name }) => name)), select,
  };
}
