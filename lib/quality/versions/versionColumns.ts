import { roleCodes, type Code, codeLists, type CodeListName } from '../../contract/codes';
import { quoteName, sql, type Database } from '../../engine/database';
import { componentColumn } from '../../engine/followupTable';
import { fieldLabel } from '../completeness/fieldNotes';

/** A field that is compared, as a number in both versions. */
export interface VersionColumn {
  readonly name: string;
  readonly label: string;
  readonly sql: string; // of a number; null: not recorded
  readonly same: string; // SQL of what is equal in both versions where the field is
  /** What the numbers are called: a code list, or an enum of the extract's own identifiers whose numbers mean other things in each version. */
  readonly list: readonly Code[] | null;
  readonly ownEnum: string | null;
  readonly told: boolean; // from what to what it changed can be told: codes and models, no identifiers
}

const column = (name: string, text: string, more: Partial<VersionColumn> = {}): VersionColumn => ({ name, label: fieldLabel(name), sql: text, same: text, list: null, ownEnum: null, told: false, ...more });
const coded = (name: string, list: CodeListName, field = name): VersionColumn => column(name, `enum_code(f.${quoteName(field)})::DOUBLE`, { list: codeLists[list], told: true });
const own = (name: string, field: string, ownEnum: string): VersionColumn => column(name, `enum_code(f.${quoteName(field)})::DOUBLE`, { ownEnum, same: `f.${quoteName(field)}::VARCHAR` });
const day = (name: string): VersionColumn => column(name, `(p.${name} - DATE '1970-01-01')::DOUBLE`);
/** 52 bits of a hash: two different texts are taken for the same once in 4,500,000,000,000,000 comparisons. */
const hashed = (name: string, of: string): VersionColumn => column(name, `(hash(${of}) >> 12)::DOUBLE`);

/** Of a procedure: its fields, the model in each place, and how its follow-up ends. */
export const procedureColumns: readonly VersionColumn[] = [
  day('procedure_date'), hashed('patient_id', 'p.patient_id'),
  coded('joint', 'joint'), coded('side', 'side'), coded('class', 'procedure_class'), coded('indication', 'indication'), coded('sex', 'sex'),
  column('age_years', 'f.age::DOUBLE'), column('asa_grade', 'f.asa::DOUBLE'), column('bmi', 'f.bmi::DOUBLE'),
  coded('approach', 'approach'), coded('proximal_fixation', 'fixation'), coded('distal_fixation', 'fixation'),
  own('hospital_id', 'hospital', 'hospital_id'), own('surgeon_id', 'surgeon', 'surgeon_id'), own('region', 'region', 'region_id'),
  day('follow_up_start'), day('follow_up_end'),
  ...roleCodes.map(({ code, label }) => column(componentColumn(code, 'model'), `enum_code(f.${componentColumn(code, 'model')})::DOUBLE`, {
    label: `Model: ${label.toLowerCase()}`, ownEnum: 'model_code', told: true, same: `f.${componentColumn(code, 'model')}::VARCHAR`,
  })),
  column('ending', 'enum_code(f.ending)::DOUBLE', {
    label: 'How follow-up ends', told: true,
    list: [{ code: 'censored', label: 'neither revised nor dead' }, { code: 'revision', label: 'revised' }, { code: 'death', label: 'died unrevised' }],
  }),
];

/** Of a re-operation. What it is linked to is looked at first. */
export const reoperationColumns: readonly VersionColumn[] = [
  { ...hashed('procedure_id', 'r.procedure_id'), label: 'Procedure it is linked to' },
  column('revision_date', "(r.revision_date - DATE '1970-01-01')::DOUBLE"),
  column('kind', 'enum_code(r.kind)::DOUBLE', { list: codeLists.reoperation_kind, told: true }),
  hashed('reasons', 'r.reasons'), hashed('components_removed', 'r.components_removed'),
  column('linked_by', 'r.linked_by_id::DOUBLE', { label: 'How it was linked', told: true, list: [{ code: '0', label: 'by patient, joint and side' }, { code: '1', label: 'by the procedure it names' }] }),
  column('counts_as', "list_position(['first_revision', 're_revision', 'reoperation', 'after_follow_up'], r.counts_as)::DOUBLE - 1", {
    label: 'What it counts as', told: true,
    list: [{ code: '0', label: 'first revision' }, { code: '1', label: 'later revision' }, { code: '2', label: 'no component changed' }, { code: '3', label: 'after the end of follow-up' }],
  }),
];

/** What the numbers of an extract's own enum stand for. */
export async function enumLabels(database: Database, name: string): Promise<readonly string[]> {
  const rows = await database.query(sql(`SELECT unnest(enum_range(NULL::${name}))::VARCHAR AS label`));
  return rows.texts('label').map((label) => label ?? '');
}
