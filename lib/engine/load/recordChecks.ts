import { appliesTo, codeLists, designClassCodes, joints } from '../../contract/codes';
import { fieldsOf } from '../../contract/fields';
import type { CodeListName } from '../../contract/codes';
import { tables, type TableName } from '../../contract/tables';
import { quoteName, quoteText } from '../database';
import { staging, type Check } from './loading';

/** The dates of the one accepted row of `registry`. */
export interface RegistryDates {
  readonly opened: string;
  readonly closing: string;
  readonly deathsClosing: string;
}

/** Records whose key stands earlier in the file: the first accepted record is kept. A record that is the same in every field is told apart. */
export function keyChecks(table: TableName): readonly Check[] {
  const key = tables[table].primaryKey.map(quoteName);
  const keys = key.join(', ');
  const find = (same: boolean): string => `
    JOIN (SELECT ${keys}, min(record) AS first FROM ${staging(table)} GROUP BY ${keys} HAVING count(*) > 1) d USING (${keys})
    JOIN ${staging(table)} f ON f.record = d.first
    WHERE t.record > d.first AND ${same ? '' : 'NOT'} (${
      fieldsOf(table).map(({ name }) => `t.${quoteName(name)} IS NOT DISTINCT FROM f.${quoteName(name)}`).join(' AND ')})`;
  const field = tables[table].primaryKey[0];
  return [
    { table, rule: 'duplicate_record', field, find: find(true), other: 'd.first' },
    { table, rule: 'duplicate_key', field, find: find(false), other: 'd.first' },
  ];
}

/** A code of a list that carries its joints, in a record of another joint. `joint` is the SQL for the record's joint. */
export function jointCheck(table: TableName, field: string, list: CodeListName, joint: string, from = ''): Check {
  const wrong = joints.map((j) => {
    const others = codeLists[list].filter((code) => !appliesTo(code, j)).map((code) => quoteText(code.code));
    return others.length === 0 ? null : `(${joint} = '${j}' AND list_has_any([${others.join(', ')}], string_split(t.${quoteName(field)}::VARCHAR, ';')))`;
  }).filter((part) => part !== null);
  return { table, rule: 'code_not_for_joint', field, find: `${from} WHERE ${wrong.join(' OR ')}`, value: `t.${quoteName(field)}` };
}

export const windowChecks = (table: TableName, field: string, { opened, closing }: Pick<RegistryDates, 'opened' | 'closing'>): readonly Check[] => [
  { table, rule: 'before_opening', field, find: `WHERE t.${field} < DATE '${opened}'`, value: `t.${field}` },
  { table, rule: 'after_closing', field, find: `WHERE t.${field} > DATE '${closing}'`, value: `t.${field}` },
];

const reversed = (table: TableName, field: string, start: string): Check => ({
  table, rule: 'dates_reversed', field, find: `WHERE t.${field} < t.${start}`, value: `t.${field} || ' is before ' || t.${start}`,
});

const afterDeath = (table: TableName, field: string, patient: string, from = ''): Check => ({
  table, rule: 'after_death', field, find: `${from} JOIN ${staging('deaths')} d ON d.patient_id = ${patient} WHERE t.${field} > d.death_date`,
  value: `t.${field} || ' is after ' || d.death_date`,
});

/** The design class must be one that the role can have. */
const designForRole = (table: TableName): Check => ({
  table, rule: 'design_not_for_role', field: 'design_class', value: "t.design_class || ' as ' || t.role",
  find: `WHERE NOT (${designClassCodes.map((d) => `(t.design_class = '${d.code}' AND t.role IN (${d.roles.map(quoteText).join(', ')}))`).join(' OR ')})`,
});

export const modelChecks = (): readonly Check[] => [...keyChecks('models'), designForRole('models')];
/** Checks that set aside the value of an optional field only. */
export const modelValueChecks = (): readonly Check[] => [reversed('models', 'last_used', 'first_used')];

export const deathChecks = ({ deathsClosing }: RegistryDates): readonly Check[] => [
  ...keyChecks('deaths'),
  { table: 'deaths', rule: 'after_closing', field: 'death_date', find: `WHERE t.death_date > DATE '${deathsClosing}'`, value: 't.death_date' },
];

export const procedureChecks = (dates: RegistryDates): readonly Check[] => [
  ...keyChecks('procedures'),
  jointCheck('procedures', 'class', 'procedure_class', 't.joint'),
  jointCheck('procedures', 'indication', 'indication', 't.joint'),
  ...windowChecks('procedures', 'procedure_date', dates),
  reversed('procedures', 'follow_up_end', 'procedure_date'),
  reversed('procedures', 'follow_up_end', 'follow_up_start'),
  afterDeath('procedures', 'procedure_date', 't.patient_id'),
  {
    table: 'procedures', rule: 'second_primary', field: 'side', other: 'first', value: "t.joint || ' ' || t.side",
    find: `JOIN (SELECT patient_id, joint, side, arg_min(record, (procedure_date, record)) AS first FROM ${staging('procedures')}
      GROUP BY patient_id, joint, side HAVING count(*) > 1) s USING (patient_id, joint, side) WHERE t.record <> s.first`,
  },
];
export const procedureValueChecks = (): readonly Check[] => [jointCheck('procedures', 'approach', 'approach', 't.joint')];

export const revisionChecks = (dates: RegistryDates): readonly Check[] => {
  const table = 'revisions', kept = staging('procedures');
  const unlinked = 't.procedure_id IS NULL', sameSide = 'p.patient_id = t.patient_id AND p.joint = t.joint AND p.side = t.side';
  const gone = 'SELECT 1 FROM gone_procedure p WHERE';
  return [
    ...keyChecks(table),
    ...windowChecks(table, 'revision_date', dates),
    {
      table, rule: 'procedure_set_aside', field: 'procedure_id',
      find: `ANTI JOIN ${kept} p ON p.procedure_id = t.procedure_id WHERE NOT (${unlinked}) AND EXISTS (${gone} p.procedure_id = t.procedure_id)`,
    },
    { table, rule: 'no_such_procedure', field: 'procedure_id', find: `ANTI JOIN ${kept} p ON p.procedure_id = t.procedure_id WHERE NOT (${unlinked})` },
    {
      table, rule: 'link_disagrees', field: 'procedure_id', find: `JOIN ${kept} p ON p.procedure_id = t.procedure_id WHERE NOT (${sameSide})`,
      value: `CASE WHEN p.patient_id <> t.patient_id THEN 'another patient'
        ELSE t.joint || ' ' || t.side || ', but the procedure is ' || p.joint || ' ' || p.side END`,
    },
    {
      table, rule: 'ambiguous_link', field: 'procedure_id', value: "t.joint || ' ' || t.side",
      find: `JOIN ${kept} p ON ${sameSide} 
        WHERE ${unlinked} AND EXISTS (SELECT 1 FROM gone_procedure g WHERE g.procedure_id IS DISTINCT FROM p.procedure_id
          AND g.patient_id = t.patient_id AND g.joint = t.joint AND g.side = t.side AND g.procedure_date <= t.revision_date)`,
    },
    {
      table, rule: 'procedure_set_aside', field: 'procedure_id',
      find: `ANTI JOIN ${kept} p ON ${sameSide} WHERE ${unlinked} AND EXISTS (${gone} ${sameSide})`,
    },
    {
      table, rule: 'no_primary', field: 'procedure_id', value: "t.joint || ' ' || t.side", find: `ANTI JOIN ${kept} p ON ${sameSide} WHERE ${unlinked}`,
    },
    {
      table, rule: 'before_procedure', field: 'revision_date', value: "t.revision_date || ' is before ' || p.procedure_date",
      find: `JOIN ${kept} p ON ${sameSide} WHERE t.revision_date < p.procedure_date`,
    },
    afterDeath(table, 'revision_date', 't.patient_id'),
  ];
};
export const revisionValueChecks = (): readonly Check[] => [
  jointCheck('revisions', 'reasons', 'reason', 't.joint'), jointCheck('revisions', 'components_removed', 'role', 't.joint'),
];

/** Revisions linked to a procedure that was set aside after the linking. */
export const lostPrimaryCheck = (): Check => ({
  table: 'revisions', rule: 'procedure_set_aside', field: 'procedure_id',
  find: `ANTI JOIN ${staging('procedures')} p ON p.patient_id = t.patient_id AND p.joint = t.joint AND p.side = t.side`,
});

/** Records that name a procedure which was not kept. Runs once the kept procedures are final. */
const belongingChecks = (table: 'components' | 'followups'): readonly Check[] => {
  const find = `ANTI JOIN ${staging('procedures')} p ON p.procedure_id = t.procedure_id`;
  return [
    { table, rule: 'procedure_set_aside', field: 'procedure_id', find: `${find} WHERE EXISTS (SELECT 1 FROM gone_procedure g WHERE g.procedure_id = t.procedure_id)` },
    { table, rule: 'no_such_procedure', field: 'procedure_id', find },
  ];
};

export const componentChecks = (): readonly Check[] => {
  const table = 'components', model = `JOIN ${staging('models')} m USING (model_code)`;
  return [
    ...keyChecks(table),
    ...belongingChecks(table),
    jointCheck(table, 'role', 'role', 'p.joint', `JOIN ${staging('procedures')} p ON p.procedure_id = t.procedure_id`),
    { table, rule: 'not_in_catalogue', field: 'model_code', find: `ANTI ${model}`, value: 't.model_code' },
    { table, rule: 'role_disagrees', field: 'role', find: `${model} WHERE m.role <> t.role`, value: "t.role || ', but the model is ' || m.role" },
    {
      table, rule: 'design_disagrees', field: 'design_class', find: `${model} WHERE m.design_class <> t.design_class`,
      value: "t.design_class || ', but the model is ' || m.design_class",
    },
  ];
};

export const followupChecks = (dates: RegistryDates): readonly Check[] => {
  const table = 'followups', procedure = `JOIN ${staging('procedures')} p ON p.procedure_id = t.procedure_id`;
  return [
    ...keyChecks(table),
    ...belongingChecks(table),
    ...windowChecks(table, 'visit_date', dates),
    {
      table, rule: 'before_procedure', field: 'visit_date', find: `${procedure} WHERE t.visit_date < p.procedure_date`,
      value: "t.visit_date || ' is before ' || p.procedure_date",
    },
    afterDeath(table, 'visit_date', 'p.patient_id', procedure),
  ];
};
