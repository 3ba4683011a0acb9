import type { TableName } from '../../contract/tables';

/** What can't be done where a field is missing altogether. Tables and fields that are not named here limit nothing but themselves. */
const notes: Partial<Record<TableName, Readonly<Record<string, string>>>> = {
  procedures: {
    patient_id: 'Both sides of a patient, deaths and re-operations without the key of the procedure can’t be linked; limits take each procedure for a patient of its own.',
    joint: 'Joints can’t be told apart.',
    side: 'Re-operations can be linked by the key of the procedure only.',
    class: 'Classes of procedure can neither be compared nor adjusted for.',
    indication: 'Results can’t be adjusted for what led to the procedure: designs follow indications, so comparisons are confounded.',
    age_years: 'Results can’t be adjusted for age.',
    sex: 'Results can’t be adjusted for sex.',
    asa_grade: 'Results can’t be adjusted for physical status (ASA grade).',
    bmi: 'Results can’t be adjusted for body mass index.',
    approach: 'Results can’t be adjusted for the approach.',
    proximal_fixation: 'Fixation of this side can’t be compared or chosen.',
    distal_fixation: 'Fixation of this side can’t be compared or chosen.',
    hospital_id: 'Hospitals can’t be looked at, nor their differences allowed for.',
    surgeon_id: 'Surgeons, learning curves and largest users can’t be looked at.',
    region: 'Regions can’t be strata, and peers of the same region can’t be found.',
  },
  components: {
    model_code: 'Models can be neither compared nor screened.',
    design_class: 'Designs can be compared only where the catalogue says them.',
    material: 'Bearing materials can’t be compared.',
    size: 'Sizes can’t be compared.',
    lot: 'A lot can’t be traced; nothing else needs it.',
    udi_di: 'Models can be joined with outside catalogues by their code only.',
  },
  models: {
    maker_code: 'Makers can’t be told apart.',
    first_used: 'Use of a model before it existed can’t be recognised.',
    fixation_intended: 'Fixation against intention can’t be recognised.',
    bearing_material: 'The material of the bearing can’t be checked against the catalogue.',
  },
  revisions: {
    procedure_id: 'Every re-operation has to be linked by patient, joint and side.',
    kind: 'Major and minor revisions can’t be told apart, so neither can be an end point of its own.',
    reasons: 'Reasons for revision can’t be an end point, nor compete with one another.',
    components_removed: 'The end point “this component removed or exchanged” can’t be used.',
  },
};

export const withoutField = (table: TableName, field: string): string | null => notes[table]?.[field] ?? null;

const labels: Readonly<Record<string, string>> = {
  patient_id: 'Patient', procedure_id: 'Key of the primary', hospital_id: 'Hospital', surgeon_id: 'Surgeon', age_years: 'Age', asa_grade: 'ASA grade', bmi: 'Body mass index',
  udi_di: 'UDI-DI', maker_code: 'Maker', model_code: 'Model',
};
/** `Proximal fixation` for `proximal_fixation`. */
export function fieldLabel(field: string): string {
  const plain = field.replaceAll('_', ' ');
  return labels[field] ?? `${plain[0]?.toUpperCase() ?? ''}${plain.slice(1)}`;
}
