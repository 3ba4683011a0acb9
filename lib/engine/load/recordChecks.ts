import { appliesTo, codeLists, designClassCodes, joints, type CodeListName } from '../../contract/codes';
import { fieldsOf } from '../../contract/fields';
import type { TableName } from '../../contract/tables';
import { baselineWindow } from '../../contract/visitWindows';
import { quoteText } from '../database';
import { codeText } from './codeTypes';
import { repeated } from './duplicates';
import { staging, type Check } from './loading';
import { goneRecord, isGone, sameKey, sameSide, withPrimary } from './revisionLink';
import { keptOfSeveral } from './severalProcedures';

/** The dates of the one accepted row of `registry`. */
export interface RegistryDates {
  readonly opened: string;
  readonly closing: string;
  readonly deathsClosing: string;
}

/** A code of a list that carries its joints, in a record of another joint. */
function jointCheck(table: TableName, field: string, list: CodeListName, join = '', joint = 't.joint'): Check {
  const wrong = joints.flatMap((each) => {
    const others = codeLists[list].filter((code) => !appliesTo(code, each)).map(({ code }) => code);
    const several = fieldsOf(table).some(({ name, kind }) => name === field && kind === 'codes');
    const found = several ? `list_has_any([${others.map(quoteText).join(', ')}], string_split(t.${field}, ';'))`
      : `t.${field} IN (${others.map((code) => codeText(list, code)).join(', ')})`;
    return others.length === 0 ? [] : [`(${joint} = ${codeText('joint', each)} AND ${found})`];
  });
  return { table, rule: 'code_not_for_joint', field, join, where: wrong.join(' OR '), over: `${joint}, t.${field}`, value: `t.${field}` };
}

const windowChecks = (table: TableName, field: string, { opened, closing }: Pick<RegistryDates, 'opened' | 'closing'>): readonly Check[] => [
  { table, rule: 'before_opening', field, where: `t.${field} < DATE '${opened}'`, value: `t.${field}` },
  { table, rule: 'after_closing', field, where: `t.${field} > DATE '${closing}'`, value: `t.${field}` },
];

const reversed = (table: TableName, field: string, start: string): Check => ({
  table, rule: 'dates_reversed', field, where: `t.${field} < t.${start}`, value: `t.${field} || ' is before ' || t.${start}`,
});

const afterDeath = (table: TableName, field: string, patient: string, join = ''): Check => ({
  table, rule: 'after_death', field, join: `${join} JOIN ${staging('deaths')} d ON d.patient_id = ${patient}`, where: `t.${field} > d.death_date`,
  value: `t.${field} || ' is after ' || d.death_date`,
});

/** The design class must be one that the role can have. */
const designForRole = (table: TableName): Check => ({
  table, rule: 'design_not_for_role', field: 'design_class', value: "t.design_class || ' as ' || t.role",
  over: 't.design_class, t.role',
  where: `NOT (${designClassCodes.map((d) => `(t.design_class = ${codeText('design_class', d.code)} AND t.role IN (${d.roles.map((role) => codeText('role', role)).join(', ')}))`).join(' OR ')})`,
});

export const modelChecks = (): readonly Check[] => [designForRole('models')];
/** Checks that set aside the value of an optional field only. */
export const modelValueChecks = (): readonly Check[] => [reversed('models', 'last_used', 'first_used')];

export const deathChecks = ({ deathsClosing }: RegistryDates): readonly Check[] => [
  { table: 'deaths', rule: 'after_closing', field: 'death_date', where: `t.death_date > DATE '${deathsClosing}'`, value: 't.death_date' },
];

const side = 'patient_id, joint, side';

export const procedureChecks = (dates: RegistryDates): readonly Check[] => [
  jointCheck('procedures', 'class', 'procedure_class'),
  jointCheck('procedures', 'indication', 'indication'),
  ...windowChecks('procedures', 'procedure_date', dates),
  reversed('procedures', 'follow_up_end', 'procedure_date'),
  reversed('procedures', 'follow_up_end', 'follow_up_start'),
  afterDeath('procedures', 'procedure_date', 't.patient_id'),
  {
    table: 'procedures', rule: 'second_primary', field: 'side', other: 'first', value: "t.joint || ' ' || t.side",
    join: `JOIN (SELECT v.record, f.first FROM ${keptOfSeveral} v JOIN (SELECT ${side}, arg_min(record, (procedure_date, record)) AS first FROM ${keptOfSeveral}
      WHERE ${repeated(keptOfSeveral, ['patient_id', 'joint', 'side'])} GROUP BY ${side} HAVING count(*) > 1) f USING (${side})) s USING (record)`,
    where: 't.record <> s.first',
  },
];
export const procedureValueChecks = (): readonly Check[] => [jointCheck('procedures', 'approach', 'approach')];

export const revisionChecks = (dates: RegistryDates): readonly Check[] => {
  const table = 'revisions', join = withPrimary;
  const byKey = 't.procedure_id IS NOT NULL', bySide = 't.procedure_id IS NULL', lost = 'l.primary_record IS NULL';
  return [
    ...windowChecks(table, 'revision_date', dates),
    { table, rule: 'nothing_to_link_by', field: 'procedure_id', where: `${bySide} AND (t.patient_id IS NULL OR t.joint IS NULL OR t.side IS NULL)` },
    { table, rule: 'procedure_set_aside', field: 'procedure_id', primary: goneRecord(sameKey), join, where: `${byKey} AND ${lost}`, also: isGone(sameKey) },
    { table, rule: 'no_such_procedure', field: 'procedure_id', join, where: `${byKey} AND ${lost}` },
    {
      table, rule: 'link_disagrees', field: 'procedure_id', primary: 'l.primary_record', join,
      where: `${byKey} AND (l.primary_patient <> t.patient_id OR l.primary_joint <> t.joint OR l.primary_side <> t.side)`,
      value: `CASE WHEN l.primary_patient <> t.patient_id THEN 'another patient'
        ELSE concat_ws(' ', t.joint, t.side) || ', but the procedure is ' || concat_ws(' ', l.primary_joint, l.primary_side) END`,
    },
    {
      table, rule: 'ambiguous_link', field: 'procedure_id', primary: 'l.primary_record', value: "t.joint || ' ' || t.side", join, where: `${bySide} AND NOT (${lost})`,
      also: isGone(`${sameSide} AND p.procedure_id IS DISTINCT FROM l.primary_key AND p.procedure_date <= t.revision_date`),
    },
    { table, rule: 'procedure_set_aside', field: 'procedure_id', primary: goneRecord(sameSide), join, where: `${bySide} AND ${lost}`, also: isGone(sameSide) },
    { table, rule: 'no_primary', field: 'procedure_id', value: "t.joint || ' ' || t.side", join, where: `${bySide} AND ${lost}` },
    {
      table, rule: 'before_procedure', field: 'revision_date', primary: 'l.primary_record', value: "t.revision_date || ' is before ' || l.primary_date",
      join, where: 't.revision_date < l.primary_date',
    },
    { ...afterDeath(table, 'revision_date', 'coalesce(l.primary_patient, t.patient_id)', join), primary: 'l.primary_record' },
  ];
};
export const revisionValueChecks = (): readonly Check[] => [
  jointCheck('revisions', 'reasons', 'reason', withPrimary, 'primary_joint'), jointCheck('revisions', 'components_removed', 'role', withPrimary, 'primary_joint'),
];

/** Revisions linked to a procedure that was set aside after the linking. */
export const lostPrimaryCheck = (): Check => ({
  table: 'revisions', rule: 'procedure_set_aside', field: 'procedure_id', join: withPrimary, where: 'l.primary_record IS NULL',
  primary: `coalesce(${goneRecord(sameKey)}, ${goneRecord(sameSide)})`,
});

/** Records that name a procedure which was not kept. */
const belongingChecks = (table: 'components' | 'followups'): readonly Check[] => [
  { table, rule: 'procedure_set_aside', field: 'procedure_id', where: 't.gone' },
  { table, rule: 'no_such_procedure', field: 'procedure_id', where: 't.procedure IS NULL' },
];

/** @param catalogued whether the extract has a catalogue of models, which its components then have to agree with */
export const componentChecks = (catalogued: boolean): readonly Check[] => {
  const table = 'components', longest = fieldsOf(table).find(({ name }) => name === 'model_code')?.maxLength ?? 0;
  const join = `JOIN (SELECT model_code::model_code AS model_code, role, design_class FROM ${staging('models')}) m USING (model_code)`;
  return [
    ...belongingChecks(table),
    jointCheck(table, 'role', 'role'),
    { table, rule: 'neither_model_nor_design', field: 'model_code', where: 't.model_code IS NULL AND t.design_class IS NULL' },
    ...(catalogued ? [] : [{ table, rule: 'too_long', field: 'model_code', where: `length(t.model_code) > ${longest}` } as const, designForRole(table)]),
    { table, rule: 'role_disagrees', field: 'role', join, where: 'm.role <> t.role', value: "t.role || ', but the model is ' || m.role" },
    {
      table, rule: 'design_disagrees', field: 'design_class', join, where: 'm.design_class <> t.design_class',
      value: "t.design_class || ', but the model is ' || m.design_class",
    },
  ];
};

export const followupChecks = ({ closing }: RegistryDates): readonly Check[] => {
  const table = 'followups', join = 'JOIN procedures p USING (procedure)', isBaseline = `t.visit = ${codeText('visit_window', baselineWindow)}`;
  return [
    ...belongingChecks(table),
    // a procedure is not before the opening, so a visit after it is not either; the one before the procedure may be
    { table, rule: 'after_closing', field: 'visit_date', where: `t.visit_date > DATE '${closing}'`, value: 't.visit_date' },
    {
      table, rule: 'before_procedure', field: 'visit_date', join, where: `NOT ${isBaseline} AND t.visit_date < p.procedure_date`,
      value: "t.visit_date || ' is before ' || p.procedure_date",
    },
    {
      table, rule: 'after_procedure', field: 'visit_date', join, where: `${isBaseline} AND t.visit_date > p.procedure_date`,
      value: "t.visit_date || ' is after ' || p.procedure_date",
    },
    afterDeath(table, 'visit_date', 'p.patient_id', join),
  ];
};
