import type { Code } from './codes';
import { visitWindows } from './visitWindows';

// Code lists of follow-up visits. Grades and zones in our own words: a site maps its own scale and its own zones to them. Grades ascend.

export const visitWindowCodes = visitWindows.map(({ code, label }) => ({ code, label }));

export const tendonCodes = [
  { code: 'intact', label: 'Intact' },
  { code: 'attenuated', label: 'Attenuated' },
  { code: 'torn', label: 'Torn' },
] as const satisfies readonly Code[];

/** Radiolucency around the glenoid component, worst zone. */
export const radiolucencyCodes = [
  { code: '0', label: 'None' },
  { code: '1', label: 'Incomplete line' },
  { code: '2', label: 'Complete line up to 2 mm' },
  { code: '3', label: 'Complete line over 2 mm' },
  { code: '4', label: 'Component shifted or tilted' },
] as const satisfies readonly Code[];

/** A radiolucent line in one zone, by its width. */
export const lineCodes = [
  { code: '0', label: 'No line' },
  { code: '1', label: 'Line up to 1 mm, or a line of unknown width' },
  { code: '2', label: 'Line over 1 mm, up to 2 mm' },
  { code: '3', label: 'Line over 2 mm' },
] as const satisfies readonly Code[];

/** A sign of bone adaptation in one zone. */
export const signCodes = [
  { code: '0', label: 'Absent' },
  { code: '1', label: 'Present, slight or not graded' },
  { code: '2', label: 'Present, marked' },
] as const satisfies readonly Code[];

export const pegLysisCodes = [
  { code: 'none', label: 'None: bone up to the peg' },
  { code: 'part', label: 'Along part of the peg' },
  { code: 'whole', label: 'Around the whole peg' },
] as const satisfies readonly Code[];

/** How much of the back of the glenoid component rests on bone, on the first radiographs. */
export const seatingCodes = [
  { code: 'complete', label: 'On bone throughout' },
  { code: 'most', label: 'On bone over more than half' },
  { code: 'less', label: 'On bone over half or less' },
] as const satisfies readonly Code[];

/** A clinical test of the subscapularis. */
export const testCodes = [
  { code: 'normal', label: 'Normal' },
  { code: 'weak', label: 'Weak' },
  { code: 'unable', label: 'Not possible' },
] as const satisfies readonly Code[];

/** The highest point that the thumb reaches behind the back. */
export const reachCodes = [
  { code: 'thigh', label: 'Thigh' },
  { code: 'buttock', label: 'Buttock' },
  { code: 'sacrum', label: 'Sacrum' },
  { code: 'l5', label: 'L5' }, { code: 'l4', label: 'L4' }, { code: 'l3', label: 'L3' }, { code: 'l2', label: 'L2' }, { code: 'l1', label: 'L1' },
  { code: 't12', label: 'T12' }, { code: 't11', label: 'T11' }, { code: 't10', label: 'T10' }, { code: 't9', label: 'T9' }, { code: 't8', label: 'T8' },
  { code: 't7', label: 'T7 or higher' },
] as const satisfies readonly Code[];

export const visitCodeLists = {
  visit_window: visitWindowCodes,
  tendon: tendonCodes,
  radiolucency: radiolucencyCodes,
  line: lineCodes,
  sign: signCodes,
  peg_lysis: pegLysisCodes,
  seating: seatingCodes,
  clinical_test: testCodes,
  reach: reachCodes,
} as const satisfies Record<string, readonly Code[]>;
