import { appliesTo, codeLists, designClassCodes, joints, type CodeListName } from '../../contract/codes';
import { fieldsOf } from '../../contract/fields';
import type { TableName } from '../../contract/tables';
import { baselineWindow } from '../../contract/visitWindows';
import { quoteText } from '../database';
import { codeText } from './codeTypes';
import { repeated } from './duplicates';
import { staging, type Check } from './loading';

/** The dates of the one accepted row of `registry`. */
export interface RegistryDates {
  readonly opened: string;
  readonly closing: string;
  readonly deathsClosing: string;
}

/** A code of a list that carries its joints, in a record of another joint. */
function jointCheck(table: TableName, field: string, list: CodeListName, from = '', joint = 't.joint'): Check {
  const wrong = joints.flatMap((each) => {
    const others = codeLists[list].filter((code) => !appliesTo(code, each)).map(({ code }) => code);
    const several = fieldsOf(table).some(({ name, kind }) => name === field && kind === 'codes');
    const found = several ? `list_has_any([${others.map(quoteText).join(', ')}], string_split(t.${field}, ';'))`
      : `t.${field} IN (${others.map((code) => codeText(list, code)).join(', ')})`;
    return others.length === 0 ? [] : [`(${joint} = ${codeText('joint', each)} AND ${found})`];
  });
  return { table, rule: 'code_not_for_joint', field, find: `${from} WHERE ${wrong.join(' OR ')}`, value: `t.${field}` };
}

const windowChecks = (table: TableName, field: string, { opened, closing }: Pick<RegistryDates, 'opened' | 'closing'>): readonly Check[] => [
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
  find: `WHERE NOT (${designClassCodes.map((d) => `(t.design_class = ${codeText('design_class', d.code)} AND t.role IN (${d.roles.map((role) => codeText('role', role)).join(', ')}))`).join(' OR ')})`,
});

export const modelChecks = (): readonly Check[] => [designForRole('models')];
/** Checks that set aside the value of an optional field only. */
export const modelValueChecks = (): readonly Check[] => [reversed('models', 'last_used', 'first_used')];

export const deathChecks = ({ deathsClosing }: RegistryDates): readonly Check[] => [
  { table: 'deaths', rule: 'after_closing', field: 'death_date', find: `WHERE t.death_date > DATE '${deathsClosing}'`, value: 't.death_date' },
];

export const procedureChecks = (dates: RegistryDates): readonly Check[] => [
  jointCheck('procedures', 'class', 'procedure_class'),
  jointCheck('procedures', 'indication', 'indication'),
  ...windowChecks('procedures', 'procedure_date', dates),
  reversed('procedures', 'follow_up_end', 'procedure_date'),
  reversed('procedures', 'follow_up_end', 'follow_up_start'),
  afterDeath('procedures', 'procedure_date', 't.patient_id'),
  {
    table: 'procedures', rule: 'second_primary', field: 'side', other: 'first', value: "t.joint || ' ' || t.side",
    find: `JOIN (SELECT patient_id, joint, side, arg_min(record, (procedure_date, record)) AS first FROM ${staging('procedures')}
      WHERE ${repeated(staging('procedures'), ['patient_id', 'joint', 'side'])} GROUP BY patient_id, joint, side HAVING count(*) > 1) s USING (patient_id, joint, side) WHERE t.record <> s.first`,
  },
];
export const procedureValueChecks = (): readonly Check[] => [jointCheck('procedures', 'approach', 'approach')];

const linked = 'JOIN revision_link l USING (record)';

export const revisionChecks = (dates: RegistryDates): readonly Check[] => {
  const table = 'revisions', kept = 'reoperated';
  const unlinked = 't.procedure_id IS NULL', sameSide = 'p.patient_id = t.patient_id AND p.joint = t.joint AND p.side = t.side';
  const gone = 'SELECT 1 FROM gone_procedure p WHERE', goneRecord = '(SELECT min(p.record) FROM gone_procedure p WHERE';
  return [
    ...windowChecks(table, 'revision_date', dates),
    {
      table, rule: 'nothing_to_link_by', field: 'procedure_id', find: `WHERE ${unlinked} AND (t.patient_id IS NULL OR t.joint IS NULL OR t.side IS NULL)`,
    },
    {
      table, rule: 'procedure_set_aside', field: 'procedure_id', primary: `${goneRecord} p.procedure_id = t.procedure_id)`,
      find: `ANTI JOIN ${kept} p ON p.procedure_id = t.procedure_id WHERE NOT (${unlinked}) AND EXISTS (${gone} p.procedure_id = t.procedure_id)`,
    },
    { table, rule: 'no_such_procedure', field: 'procedure_id', find: `ANTI JOIN ${kept} p ON p.procedure_id = t.procedure_id WHERE NOT (${unlinked})` },
    {
      table, rule: 'link_disagrees', field: 'procedure_id', primary: 'p.record',
      find: `JOIN ${kept} p ON p.procedure_id = t.procedure_id WHERE p.patient_id <> t.patient_id OR p.joint <> t.joint OR p.side <> t.side`,
      value: `CASE WHEN p.patient_id <> t.patient_id THEN 'another patient'
        ELSE concat_ws(' ', t.joint, t.side) || ', but the procedure is ' || concat_ws(' ', p.joint, p.side) END`,
    },
    {
      table, rule: 'ambiguous_link', field: 'procedure_id', primary: 'p.record', value: "t.joint || ' ' || t.side",
      find: `JOIN ${kept} p ON ${sameSide} 
        WHERE ${unlinked} AND EXISTS (SELECT 1 FROM gone_procedure g WHERE g.procedure_id IS DISTINCT FROM p.procedure_id
          AND g.patient_id = t.patient_id AND g.joint = t.joint AND g.side = t.side AND g.procedure_date <= t.revision_date)`,
    },
    {
      table, rule: 'procedure_set_aside', field: 'procedure_id', primary: `${goneRecord} ${sameSide})`,
      find: `ANTI JOIN ${kept} p ON ${sameSide} WHERE ${unlinked} AND EXISTS (${gone} ${sameSide})`,
    },
    {
      table, rule: 'no_primary', field: 'procedure_id', value: "t.joint || ' ' || t.side", find: `ANTI JOIN ${kept} p ON ${sameSide} WHERE ${unlinked}`,
    },
    {
      table, rule: 'before_procedure', field: 'revision_date', primary: 'l.procedure_record', value: "t.revision_date || ' is before ' || l.procedure_date",
      find: `${linked} WHERE t.revision_date < l.procedure_date`,
    },
    { ...afterDeath(table, 'revision_date', 'coalesce(l.patient_id, t.patient_id)', linked), primary: 'l.procedure_record' },
  ];
};
export const revisionValueChecks = (): readonly Check[] => [
  jointCheck('revisions', 'reasons', 'reason', linked, 'l.joint'), jointCheck('revisions', 'components_removed', 'role', linked, 'l.joint'),
];

/** Revisions linked to a procedure that was set aside after the linking. */
export const lostPrimaryCheck = (): Check => ({
  table: 'revisions', rule: 'procedure_set_aside', field: 'procedure_id', find: 'ANTI JOIN revision_link l USING (record)',
  primary: `coalesce((SELECT min(p.record) FROM gone_procedure p WHERE p.procedure_id = t.procedure_id),
    (SELECT min(p.record) FROM gone_procedure p WHERE p.patient_id = t.patient_id AND p.joint = t.joint AND p.side = t.side))`,
});

/** Records that name a procedure which was not kept. */
const belongingChecks = (table: 'components' | 'followups'): readonly Check[] => [
  { table, rule: 'procedure_set_aside', field: 'procedure_id', find: 'WHERE t.gone' },
  { table, rule: 'no_such_procedure', field: 'procedure_id', find: 'WHERE t.procedure IS NULL' },
];

/** @param catalogued whether the extract has a catalogue of models, which its components then have to agree with */
export const componentChecks = (catalogued: boolean): readonly Check[] => {
  const table = 'components', longest = fieldsOf(table).find(({ name }) => name === 'model_code')?.maxLength ?? 0;
  const model = `JOIN (SELECT model_code::model_code AS model_code, role, design_class FROM ${staging('models')}) m USING (model_code)`;
  return [
    ...belongingChecks(table),
    jointCheck(table, 'role', 'role'),
    { table, rule: 'neither_model_nor_design', field: 'model_code', find: 'WHERE t.model_code IS NULL AND t.design_class IS NULL' },
    ...(catalogued ? [] : [{ table, rule: 'too_long', field: 'model_code', find: `WHERE length(t.model_code) > ${longest}` } as const, designForRole(table)]),
    { table, rule: 'role_disagrees', field: 'role', find: `${model} WHERE m.role <> t.role`, value: "t.role || ', but the model is ' || m.role" },
    {
      table, rule: 'design_disagrees', field: 'design_class', find: `${model} WHERE m.design_class <> t.design_class`,
      value: "t.design_class || ', but the model is ' || m.design_class",
    },
  ];
};

export const followupChecks = ({ closing }: RegistryDates): readonly Check[] => {
  const table = 'followups', procedure = 'JOIN procedures p USING (procedure)', isBaseline = `t.visit = ${codeText('visit_window', baselineWindow)}`;
  return [
    ...belongingChecks(table),
    // a procedure is not before the opening, so a visit after it is not either; the one before the procedure may be
    { table, rule: 'after_closing', field: 'visit_date', find: `WHERE t.visit_date > DATE '${closing}'`, value: 't.visit_date' },
    {
      table, rule: 'before_procedure', field: 'visit_date', find: `${procedure} WHERE NOT ${isBaseline} AND t.visit_date < p.procedure_date`,
      value: "t.visit_date || ' is before ' || p.procedure_date",
    },
    {
      table, rule: 'after_procedure', field: 'visit_date', find: `${procedure} WHERE ${isBaseline} AND t.visit_date > p.procedure_date`,
      value: "t.visit_date || ' is after ' || p.procedure_date",
    },
    afterDeath(table, 'visit_date', 'p.patient_id', procedure),
  ];
};
