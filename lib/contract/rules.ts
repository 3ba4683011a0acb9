/**
 * What a rule does with what it finds. `record`: the whole record is set aside. `field`: the record is set aside where the field is
 * required, where an empty cell has a meaning of its own (an end of follow-up that can't be read must not turn into follow-up to the
 * closing date), or where it is a core field (an age of 199 throws doubt on all that stands beside it); in any other field only the value is set aside, the record stays with that field not recorded. Both are listed.
 */
export type Severity = 'record' | 'field';

export interface Rule {
  readonly title: string; // in plain words, as a finding
  readonly severity: Severity;
}

/** Every rule a record can fail, from the single cell to its place among the others. The first rule that a record fails decides. */
export const rules = {
  wrong_number_of_cells: { title: 'The line has more or fewer cells than the header', severity: 'record' },
  missing: { title: 'A required cell is empty', severity: 'record' },
  too_long: { title: 'The text is longer than allowed', severity: 'field' },
  not_a_date: { title: 'Not a calendar day written as YYYY-MM-DD', severity: 'field' },
  not_a_whole_number: { title: 'Not a whole number', severity: 'field' },
  not_a_number: { title: 'Not a number with a decimal point', severity: 'field' },
  out_of_range: { title: 'An impossible value: outside the range of the field', severity: 'field' },
  unknown_code: { title: 'Not a code of the list', severity: 'field' },
  duplicate_record: { title: 'The same record stands earlier in the file', severity: 'record' },
  duplicate_key: { title: 'Another record with the same key stands earlier in the file', severity: 'record' },
  code_not_for_joint: { title: 'The code does not apply to this joint', severity: 'field' },
  design_not_for_role: { title: 'The design class does not apply to this role', severity: 'record' },
  before_opening: { title: 'Before the first day of data collection', severity: 'record' },
  after_closing: { title: 'After the closing date', severity: 'record' },
  dates_reversed: { title: 'An end that lies before its start', severity: 'field' },
  after_death: { title: 'After the death of the patient', severity: 'record' },
  second_primary: { title: 'A second primary on the same side of the same joint', severity: 'record' },
  nothing_to_link_by: { title: 'Neither a procedure, nor patient, joint and side, to link it by', severity: 'record' },
  no_such_procedure: { title: 'The procedure is not in the extract', severity: 'record' },
  procedure_set_aside: { title: 'The procedure it belongs to was set aside', severity: 'record' },
  link_disagrees: { title: 'Patient, joint or side differ from those of the procedure it names', severity: 'record' },
  no_primary: { title: 'No primary of this patient, joint and side', severity: 'record' },
  ambiguous_link: { title: 'More than one primary of this patient, joint and side could be meant', severity: 'record' },
  before_procedure: { title: 'Before the primary procedure', severity: 'record' },
  after_procedure: { title: 'A visit before the procedure that is dated after it', severity: 'record' },
  neither_model_nor_design: { title: 'Neither the model nor the design class of the component is recorded', severity: 'record' },
  not_in_catalogue: { title: 'The model is not in the catalogue', severity: 'record' },
  role_disagrees: { title: 'The role differs from that of the model in the catalogue', severity: 'record' },
  design_disagrees: { title: 'The design class differs from that of the model in the catalogue', severity: 'record' },
  no_time_at_risk: { title: 'Follow-up ends before the registry could have recorded a revision', severity: 'record' },
} as const satisfies Record<string, Rule>;
export type RuleId = keyof typeof rules;
