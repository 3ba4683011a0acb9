import { roleCodes, type Role } from '../../contract/codes';
import { compress, passing, quoteText, sql, type LoadingDatabase } from '../database';
import { componentColumn, roleBit } from '../followupTable';
import { died, followed, type AcceptedProcedures } from './acceptedTables';
import { codeText, codeType } from './codeTypes';
import { asBits, asItIs } from './compression';
import { countOf } from './loading';
import { allRows, blocksOf, rowsAtOnce } from './rowBlocks';

const revised = passing('revised');

const endings = "ENUM('censored', 'revision', 'death')", kinds = "ENUM('major', 'minor', 'unspecified')";
const componentParts = [['model', 'model_code'], ['design', codeType('design_class')], ['material', codeType('material')]] as const;

/** The components of roles that few of them have: without it, each of these roles would look through all components. */
const rareComponents = passing('rare_components');

/** A role that some components have. */
interface PresentRole {
  readonly role: Role;
  readonly components: number;
  readonly isRare: boolean; // fewer than one in twenty of all
  readonly designMissing: boolean; // of some component
}

/**
 * Makes `followup` (see followupTable.ts). What follows from re-operations, deaths and components is added to the table `followed`, beside each
 * procedure, so that nothing that stands there is written a second time. `numbers`: what is above the last procedure's; `someLate`: of some, observation may begin later. `onBlock` hears the fraction done.
 */
export async function createFollowup(
  database: LoadingDatabase, { numbers, patient, fields, someLate, catalogued, closing }: AcceptedProcedures & { someLate: boolean; catalogued: boolean; closing: string }, onBlock: (fraction: number) => void,
): Promise<void> {
  const found = await database.query(sql(`SELECT role::VARCHAR AS role, count(*)::INTEGER AS components, max(design_class IS NULL)::INTEGER AS design_missing FROM components GROUP BY role`));
  const texts = found.texts('role'), components = found.numbers('components'), designMissing = found.numbers('design_missing');
  const all = components.reduce((sum, n) => sum + n, 0);
  const roles = roleCodes.flatMap(({ code: role }): PresentRole[] => {
    const at = texts.indexOf(role);
    return at < 0 ? [] : [{ role, components: components[at]!, isRare: 20 * components[at]! < all, designMissing: designMissing[at] === 1 }];
  });
  const parts = 1 + roles.length;
  await addEnds(database, numbers, closing, fields.has('follow_up_end'));
  onBlock(1 / parts);
  await database.query(sql(`CREATE TABLE ${rareComponents} AS SELECT procedure, role, model_code, design_class, material FROM components
    WHERE list_contains([${roles.filter(({ isRare }) => isRare).map(({ role }) => quoteText(role)).join(', ')}]::${codeType('role')}[], role)`));
  for (const [i, role] of roles.entries()) {
    await addComponents(database, numbers, role, catalogued);
    onBlock((i + 2) / parts);
  }
  await database.query(sql(`DROP TABLE ${rareComponents}`));
  await createView(database, roles, patient, someLate);
}

/** Adds what ends the follow-up of each procedure: what few have – a first revision, a death – is written over the rest. */
async function addEnds(database: LoadingDatabase, numbers: number, closing: string, someLeave: boolean): Promise<void> {
  await createRevised(database);
  const last = `DATE '${closing}'`;
  const columns = [`exit_day INTEGER ${asBits}`, `ending ${endings} DEFAULT 'censored' ${asItIs}`, `kind ${kinds} ${asItIs}`, `reason ${codeType('reason')} ${asItIs}`, `removed UINTEGER ${asBits}`];
  for (const column of columns) await database.query(sql(`ALTER TABLE ${followed} ADD COLUMN ${column}`));
  await database.query(sql(`ALTER TABLE ${followed} ALTER COLUMN exit_day TYPE INTEGER
    USING (${someLeave ? `CASE WHEN follow_up_end < ${last} THEN follow_up_end ELSE ${last} END` : last} - procedure_date)`)); // far quicker than an UPDATE
  const someDied = await countOf(database, died) > 0;
  for (const { where } of blocksOf('procedure', numbers)) {
    if (someDied) await database.query(sql(`UPDATE ${followed} p SET exit_day = d.death_date - p.procedure_date, ending = 'death' FROM (FROM ${died} WHERE ${where}) d
      WHERE d.procedure = p.record AND d.death_date - p.procedure_date <= p.exit_day`));
    await database.query(sql(`UPDATE ${followed} p SET exit_day = r.revision_date - p.procedure_date, ending = 'revision', kind = r.kind::VARCHAR, reason = r.reason, removed = r.removed
      FROM (FROM ${revised} WHERE ${where}) r WHERE r.procedure = p.record`));
    await compress(database);
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

/** Adds the components of a role. A design class that a component does not say is that of its model in the catalogue, where the extract has one. */
async function addComponents(database: LoadingDatabase, numbers: number, { role, components, isRare, designMissing }: PresentRole, catalogued: boolean): Promise<void> {
  for (const [what, type] of componentParts) await database.query(sql(`ALTER TABLE ${followed} ADD COLUMN ${componentColumn(role, what)} ${type} ${asBits}`));
  const [design, join] = catalogued && designMissing
    ? ['coalesce(c.design_class, m.design_class)', 'LEFT JOIN (SELECT model_code::model_code AS model_code, design_class FROM models) m ON m.model_code = c.model_code']
    : ['c.design_class', ''];
  for (const { where } of components <= rowsAtOnce ? [allRows] : blocksOf('procedure', numbers)) {
    await database.query(sql(`UPDATE ${followed} p SET ${componentParts.map(([what]) => `${componentColumn(role, what)} = c.${what}`).join(', ')}
      FROM (SELECT c.procedure, c.model_code AS model, ${design} AS design, c.material FROM (FROM ${isRare ? rareComponents : 'components'} WHERE role = ${codeText('role', role)} AND ${where}) c ${join}) c
      WHERE c.procedure = p.record`));
    await compress(database);
  }
}

async function createView(database: LoadingDatabase, roles: readonly PresentRole[], patient: string, someLate: boolean): Promise<void> {
  const present = new Set(roles.map(({ role }) => role));
  const ofProcedure = [
    'record AS procedure', `${patient} AS patient`, 'patient_id IS NOT NULL AS patient_known', 'hospital_id::hospital_id AS hospital', 'surgeon_id::surgeon_id AS surgeon', 'region::region_id AS region', 'joint', 'side', 'class', 'indication', 'sex',
    'approach', 'proximal_fixation', 'distal_fixation', 'year(procedure_date)::SMALLINT AS year', "(procedure_date - DATE '1970-01-01')::INTEGER AS procedure_day",
    'age_years::UTINYINT AS age', 'asa_grade::UTINYINT AS asa', 'bmi::FLOAT AS bmi',
    someLate ? '(CASE WHEN follow_up_start > procedure_date THEN follow_up_start - procedure_date END)::INTEGER AS entry_day' : 'NULL::INTEGER AS entry_day', 'exit_day', 'ending', 'kind', 'reason', 'removed',
  ];
  const ofComponents = roleCodes.flatMap(({ code }) => componentParts.map(([what, type]) => {
    const name = componentColumn(code, what);
    return present.has(code) ? name : `NULL::${type} AS ${name}`;
  }));
  await database.query(sql(`CREATE VIEW followup AS SELECT ${[...ofProcedure, ...ofComponents].join(', ')} FROM ${followed}`));
}
