import { z } from 'zod';
import { coded, codedList, day, identifier } from './fieldTypes';
import { Followup } from './followup';

export { Followup };

// One schema a table. Types, limits and code lists are read from here by the SQL checks, the dictionary and datapackage.json.
// `nullable` means an empty cell is allowed; what empty means stands in the description. Where empty says more than `not recorded`
// (`emptyHasMeaning`), a bad value can't be treated as missing. `core`: the cell may be empty, but a value that can't be right throws doubt on
// the whole record. `identifies`: the value can point to a person and is kept out of reports.
//
// The least that answers a question: the key, day and joint of each procedure, one thing to group by, and its revision or the last day of
// its follow-up. Everything else may be empty or have no column; what then can't be said is said where it would have stood.

const joint = coded('joint', 'Joint that was operated on.');
const side = coded('side', 'Side of the body.');
const role = coded('role', 'Place of the component in the joint.');
const designClass = coded('design_class', 'Design class of the component.');
const modelCode = identifier('Code of the model in the catalogue.');
const patientDescription = 'Pseudonym of the patient, the same for both sides and all joints.';
const patientId = identifier(patientDescription).meta({ identifies: true });
const procedureId = identifier('Key of the primary procedure.').meta({ identifies: true });

export const Procedure = z.object({
  procedure_id: procedureId,
  patient_id: patientId.nullable().meta({
    description: `${patientDescription} Empty: not known; the procedure then counts as one patient of its own, to whom neither a second side nor a death can be linked.`, core: true,
  }),
  procedure_date: day('Day of the primary procedure.'),
  joint,
  side: side.nullable().meta({ description: 'Side of the body; empty: not recorded; re-operations can then be linked by the key of the procedure only.', core: true }),
  class: coded('procedure_class', 'What was replaced; empty: not recorded.').nullable().meta({ core: true }),
  indication: coded('indication', 'Main diagnosis that led to the procedure; empty: not recorded.').nullable().meta({ core: true }),
  age_years: z.int().min(10).max(110).nullable()
    .meta({ description: 'Completed years of age on the day of the procedure; empty: not recorded.', unit: 'years', core: true }),
  sex: coded('sex', 'Sex of the patient; empty: not recorded.').nullable().meta({ core: true }),
  asa_grade: z.int().min(1).max(5).nullable().meta({ description: 'Physical status by the American Society of Anesthesiologists; empty: not recorded.' }),
  bmi: z.number().min(10).max(80).nullable().meta({ description: 'Body mass index; empty: not recorded.', unit: 'kg/m²' }),
  approach: coded('approach', 'Surgical approach; empty: not recorded.').nullable(),
  proximal_fixation: coded('fixation', 'Fixation of the glenoid, acetabulum, or femur at the knee; empty: not recorded.').nullable(),
  distal_fixation: coded('fixation', 'Fixation of the humerus, femur at the hip, or tibia; empty: not recorded.').nullable(),
  hospital_id: identifier('Pseudonym of the implanting hospital; empty: not recorded.').nullable().meta({ core: true }),
  surgeon_id: identifier('Pseudonym of the surgeon of record; empty: not recorded.').nullable().meta({ core: true }),
  region: identifier('Region of the hospital; empty: not recorded.').nullable(),
  follow_up_start: day('First day on which the registry could have recorded a revision (late joining); empty: the day of the procedure.').nullable().meta({ emptyHasMeaning: true }),
  follow_up_end: day('Last day on which the registry could have recorded a revision (emigration, withdrawn consent); empty: the closing date.').nullable().meta({ emptyHasMeaning: true }),
});

export const Component = z.object({
  procedure_id: procedureId,
  role,
  model_code: modelCode.nullable()
    .meta({ description: 'Code of the model in the catalogue; empty: not recorded, the design class must then be there.', core: true }),
  design_class: designClass.nullable()
    .meta({ description: 'Design class of the component; empty: that of its model in the catalogue, and not recorded where there is none.', core: true }),
  material: coded('material', 'Bearing material, or the main material where it bears nothing; empty: not recorded.').nullable(),
  size: z.string().max(16).nullable().meta({ description: 'Size as labelled; empty: not recorded.' }),
  lot: z.string().max(32).nullable().meta({ description: 'Production lot; empty: not recorded.' }),
  udi_di: z.string().max(32).nullable().meta({ description: 'Device identifier (UDI-DI), never the production identifier; empty: not recorded.' }),
});

export const Model = z.object({
  model_code: modelCode,
  maker_code: identifier('Code of the maker; empty: not known.').nullable(),
  role,
  design_class: designClass,
  fixation_intended: coded('fixation', 'Fixation the model is made for; empty: not stated.').nullable(),
  bearing_material: coded('material', 'Bearing material; empty: not stated.').nullable(),
  first_used: day('Day of first use in the registry; empty: not known.').nullable(),
  last_used: day('Day of last use; empty: still in use.').nullable(),
});

export const Revision = z.object({
  revision_id: identifier('Key of the re-operation.').nullable()
    .meta({ description: 'Key of the re-operation; empty: it has none, and is told from others by all that stands in it.', identifies: true, core: true }),
  procedure_id: procedureId.nullable()
    .meta({ description: 'The primary it follows; empty: to be linked by patient, joint and side, which must then all be there.', emptyHasMeaning: true }),
  patient_id: patientId.nullable().meta({ description: `${patientDescription} Empty: that of the procedure.`, core: true }),
  joint: joint.nullable().meta({ description: 'Joint that was operated on; empty: that of the procedure.', core: true }),
  side: side.nullable().meta({ description: 'Side of the body; empty: that of the procedure.', core: true }),
  revision_date: day('Day of the re-operation.'),
  kind: coded('reoperation_kind', 'Whether a component was changed, and which kind.'),
  reasons: codedList('reason', 'Reasons for the re-operation; empty: not recorded.').nullable(),
  components_removed: codedList('role', 'Components removed or exchanged; empty: none or not recorded.').nullable(),
});

export const Death = z.object({
  patient_id: patientId,
  death_date: day('Day of death.'),
});

export const Registry = z.object({
  name: z.string().min(1).max(120).meta({ description: 'Name of the registry.' }),
  version: z.string().min(1).max(64).meta({ description: 'Version of the extract.' }),
  opened: day('First day of data collection.'),
  closing_date: day('Last day for which revisions are complete: follow-up ends here.'),
  deaths_closing_date: day('Last day for which deaths are complete.'),
  coverage_percent: z.number().min(0).max(100).nullable().meta({ description: 'Estimated share of procedures captured; empty: not known.', unit: 'percent' }),
});

export interface TableContract {
  readonly title: string;
  readonly grain: string;
  readonly schema: z.ZodObject;
  readonly primaryKey: readonly string[];
  readonly required: boolean;
  /** Fields that hold the key, of the same name, of another table. */
  readonly references: readonly { readonly field: string; readonly to: string }[];
}

const ofProcedure = { field: 'procedure_id', to: 'procedures' } as const;
const ofModel = { field: 'model_code', to: 'models' } as const;

export const tables = {
  procedures: {
    title: 'Procedures', grain: 'one row per primary joint replacement', schema: Procedure, primaryKey: ['procedure_id'], required: true, references: [],
  },
  components: {
    title: 'Components', grain: 'one row per implanted component of a procedure', schema: Component, primaryKey: ['procedure_id', 'role'], required: false, references: [ofProcedure, ofModel],
  },
  models: {
    title: 'Catalogue of models', grain: 'one row per model', schema: Model, primaryKey: ['model_code'], required: false, references: [],
  },
  revisions: {
    title: 'Re-operations', grain: 'one row per re-operation', schema: Revision, primaryKey: ['revision_id'], required: true, references: [ofProcedure],
  },
  deaths: {
    title: 'Deaths', grain: 'one row per patient who died', schema: Death, primaryKey: ['patient_id'], required: false, references: [],
  },
  followups: {
    title: 'Follow-up visits', grain: 'one row per procedure and planned visit', schema: Followup, primaryKey: ['procedure_id', 'visit'], required: false, references: [ofProcedure],
  },
  registry: {
    title: 'The extract', grain: 'one row', schema: Registry, primaryKey: ['version'], required: true, references: [],
  },
} as const satisfies Record<string, TableContract>;
export type TableName = keyof typeof tables;
