import { visitCodeLists } from './visitCodes';

/** Code lists of the data package. A code without `joints` applies to every joint; order is meaningful where a doc says so. */
export interface Code {
  readonly code: string;
  readonly label: string;
  readonly joints?: readonly Joint[];
}

export const joints = ['shoulder', 'hip', 'knee'] as const;
export type Joint = (typeof joints)[number];

const shoulder: readonly Joint[] = ['shoulder'];
const hip: readonly Joint[] = ['hip'];
const knee: readonly Joint[] = ['knee'];

export const jointCodes = [
  { code: 'shoulder', label: 'Shoulder' },
  { code: 'hip', label: 'Hip' },
  { code: 'knee', label: 'Knee' },
] as const satisfies readonly Code[];

export const sideCodes = [
  { code: 'left', label: 'Left' },
  { code: 'right', label: 'Right' },
] as const satisfies readonly Code[];

export const sexCodes = [
  { code: 'female', label: 'Women' },
  { code: 'male', label: 'Men' },
] as const satisfies readonly Code[];

/** What was replaced. Stem length and fixation are attributes of the components, not classes of procedure. */
export const procedureClassCodes = [
  { code: 'anatomic_total', label: 'Anatomic total', joints: shoulder },
  { code: 'reverse_total', label: 'Reverse total', joints: shoulder },
  { code: 'hemi', label: 'Hemiarthroplasty', joints: [...shoulder, ...hip] },
  { code: 'resurfacing', label: 'Resurfacing', joints: [...shoulder, ...hip] },
  { code: 'total_hip', label: 'Total hip', joints: hip },
  { code: 'total_knee', label: 'Total knee', joints: knee },
  { code: 'partial_knee', label: 'Partial knee', joints: knee },
] as const satisfies readonly Code[];

export const indicationCodes = [
  { code: 'osteoarthritis', label: 'Osteoarthritis' },
  { code: 'cuff_arthropathy', label: 'Cuff tear arthropathy', joints: shoulder },
  { code: 'acute_fracture', label: 'Acute fracture' },
  { code: 'fracture_sequelae', label: 'Fracture sequelae' },
  { code: 'inflammatory_arthritis', label: 'Inflammatory arthritis' },
  { code: 'osteonecrosis', label: 'Osteonecrosis' },
  { code: 'instability_arthropathy', label: 'Instability arthropathy', joints: shoulder },
  { code: 'dysplasia', label: 'Dysplasia', joints: hip },
  { code: 'tumour', label: 'Tumour' },
  { code: 'other_indication', label: 'Other' },
] as const satisfies readonly Code[];

export const approachCodes = [
  { code: 'deltopectoral', label: 'Deltopectoral', joints: shoulder },
  { code: 'anterosuperior', label: 'Anterosuperior', joints: shoulder },
  { code: 'posterior', label: 'Posterior', joints: [...shoulder, ...hip] },
  { code: 'lateral', label: 'Lateral', joints: hip },
  { code: 'anterior', label: 'Anterior', joints: hip },
  { code: 'medial_parapatellar', label: 'Medial parapatellar', joints: knee },
  { code: 'subvastus', label: 'Subvastus', joints: knee },
  { code: 'other_approach', label: 'Other' },
] as const satisfies readonly Code[];

/** Fixation of one side of the joint. Proximal: glenoid, acetabulum, femur at the knee. Distal: humerus, femur at the hip, tibia. */
export const fixationCodes = [
  { code: 'cemented', label: 'Cemented' },
  { code: 'uncemented', label: 'Uncemented' },
  { code: 'hybrid', label: 'Hybrid (in-growth post, cemented pegs)' },
  { code: 'none', label: 'No component on this side' },
] as const satisfies readonly Code[];

export const roleCodes = [
  { code: 'glenoid', label: 'Glenoid component', joints: shoulder },
  { code: 'glenosphere', label: 'Glenosphere', joints: shoulder },
  { code: 'humeral_stem', label: 'Humeral component', joints: shoulder },
  { code: 'humeral_head', label: 'Humeral head', joints: shoulder },
  { code: 'humeral_insert', label: 'Humeral insert', joints: shoulder },
  { code: 'acetabular_cup', label: 'Acetabular component', joints: hip },
  { code: 'acetabular_liner', label: 'Acetabular liner', joints: hip },
  { code: 'femoral_stem', label: 'Femoral stem', joints: hip },
  { code: 'femoral_head', label: 'Femoral head', joints: hip },
  { code: 'knee_femoral', label: 'Femoral component', joints: knee },
  { code: 'knee_tibial', label: 'Tibial component', joints: knee },
  { code: 'knee_insert', label: 'Tibial insert', joints: knee },
  { code: 'patella', label: 'Patellar component', joints: knee },
] as const satisfies readonly Code[];
export type Role = (typeof roleCodes)[number]['code'];

/** Design classes, each for the roles that can have it. Stem length is the design class of a stem. */
export const designClassCodes = [
  { code: 'all_poly_keeled', label: 'All-polyethylene keeled', roles: ['glenoid'] },
  { code: 'all_poly_pegged', label: 'All-polyethylene pegged', roles: ['glenoid'] },
  { code: 'all_poly_fluted_peg', label: 'All-polyethylene with fluted central peg', roles: ['glenoid'] },
  { code: 'metal_backed', label: 'Metal-backed with polyethylene insert', roles: ['glenoid'] },
  { code: 'reverse_baseplate', label: 'Baseplate for a glenosphere', roles: ['glenoid'] },
  { code: 'glenosphere_standard', label: 'Standard glenosphere', roles: ['glenosphere'] },
  { code: 'glenosphere_lateralised', label: 'Lateralised glenosphere', roles: ['glenosphere'] },
  { code: 'stemless', label: 'Stemless', roles: ['humeral_stem'] },
  { code: 'short_stem', label: 'Short stem', roles: ['humeral_stem', 'femoral_stem'] },
  { code: 'standard_stem', label: 'Standard stem', roles: ['humeral_stem', 'femoral_stem'] },
  { code: 'long_stem', label: 'Long stem', roles: ['humeral_stem', 'femoral_stem'] },
  { code: 'fracture_stem', label: 'Fracture stem', roles: ['humeral_stem'] },
  { code: 'resurfacing_cap', label: 'Resurfacing cap', roles: ['humeral_head', 'femoral_head'] },
  { code: 'modular_head', label: 'Modular head', roles: ['humeral_head', 'femoral_head'] },
  { code: 'standard_insert', label: 'Standard insert', roles: ['humeral_insert', 'acetabular_liner', 'knee_insert'] },
  { code: 'constrained_insert', label: 'Constrained insert', roles: ['humeral_insert', 'acetabular_liner', 'knee_insert'] },
  { code: 'shell', label: 'Modular shell', roles: ['acetabular_cup'] },
  { code: 'all_poly_cup', label: 'All-polyethylene cup', roles: ['acetabular_cup'] },
  { code: 'dual_mobility', label: 'Dual mobility', roles: ['acetabular_cup'] },
  { code: 'cruciate_retaining', label: 'Cruciate retaining', roles: ['knee_femoral'] },
  { code: 'posterior_stabilised', label: 'Posterior stabilised', roles: ['knee_femoral'] },
  { code: 'fixed_bearing', label: 'Fixed bearing', roles: ['knee_tibial'] },
  { code: 'mobile_bearing', label: 'Mobile bearing', roles: ['knee_tibial'] },
  { code: 'all_poly_patella', label: 'All-polyethylene button', roles: ['patella'] },
] as const satisfies readonly (Code & { roles: readonly Role[] })[];

export const materialCodes = [
  { code: 'polyethylene_conventional', label: 'Conventional polyethylene' },
  { code: 'polyethylene_crosslinked', label: 'Highly cross-linked polyethylene' },
  { code: 'polyethylene_antioxidant', label: 'Antioxidant polyethylene' },
  { code: 'metal_polyethylene', label: 'Metal with polyethylene insert' },
  { code: 'cobalt_chrome', label: 'Cobalt-chrome' },
  { code: 'titanium', label: 'Titanium' },
  { code: 'steel', label: 'Steel' },
  { code: 'ceramic', label: 'Ceramic' },
  { code: 'pyrocarbon', label: 'Pyrocarbon' },
] as const satisfies readonly Code[];

/**
 * `major`, `minor` and `unspecified` are revisions: a component was removed, exchanged or added. One that is known only as “a revision” is
 * `unspecified`: it counts where both kinds are asked for, and is another revision where only one is.
 */
export const reoperationKindCodes = [
  { code: 'major', label: 'Revision: a fixed component removed, exchanged or added' },
  { code: 'minor', label: 'Revision: modular parts only' },
  { code: 'unspecified', label: 'Revision: which components were changed is not recorded' },
  { code: 'reoperation', label: 'Re-operation without change of a component' },
] as const satisfies readonly Code[];

/** Reasons for revision in the declared order: where a revision has several, the first in this list is its reason. */
export const reasonCodes = [
  { code: 'infection', label: 'Infection' },
  { code: 'periprosthetic_fracture', label: 'Periprosthetic fracture' },
  { code: 'glenoid_loosening', label: 'Glenoid loosening', joints: shoulder },
  { code: 'humeral_loosening', label: 'Humeral loosening', joints: shoulder },
  { code: 'loosening', label: 'Loosening' },
  { code: 'lysis', label: 'Osteolysis' },
  { code: 'dissociation', label: 'Dissociation or breakage of the implant' },
  { code: 'instability', label: 'Instability or dislocation' },
  { code: 'cuff_failure', label: 'Rotator cuff failure', joints: shoulder },
  { code: 'wear', label: 'Wear of the bearing' },
  { code: 'socket_erosion', label: 'Erosion of the unreplaced side' },
  { code: 'malposition', label: 'Malposition' },
  { code: 'stiffness', label: 'Stiffness' },
  { code: 'pain', label: 'Pain' },
  { code: 'other_reason', label: 'Other' },
] as const satisfies readonly Code[];

export const yesNoCodes = [
  { code: 'no', label: 'No' },
  { code: 'yes', label: 'Yes' },
] as const satisfies readonly Code[];

/** Every list by name. The name also names the list's enum type in the database. */
export const codeLists = {
  joint: jointCodes,
  side: sideCodes,
  sex: sexCodes,
  procedure_class: procedureClassCodes,
  indication: indicationCodes,
  approach: approachCodes,
  fixation: fixationCodes,
  role: roleCodes,
  design_class: designClassCodes,
  material: materialCodes,
  reoperation_kind: reoperationKindCodes,
  reason: reasonCodes,
  ...visitCodeLists,
  yes_no: yesNoCodes,
} as const satisfies Record<string, readonly Code[]>;
export type CodeListName = keyof typeof codeLists;

type CodeOf<T extends readonly Code[]> = { readonly [K in keyof T]: T[K]['code'] };

/** The codes of a list as a tuple, for `z.enum`. */
export const codesOf = <const T extends readonly Code[]>(list: T) => list.map((c) => c.code) as unknown as CodeOf<T>;

/** The label of a code, or the code itself where the list does not have it. */
export const labelOf = (list: readonly Code[], code: string): string => list.find((c) => c.code === code)?.label ?? code;

export const appliesTo = (code: Code, joint: Joint): boolean => code.joints?.includes(joint) ?? true;
