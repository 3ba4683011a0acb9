import type { Role } from '../contract/codes';
import { quoteName } from '../engine/database';
import { componentColumn } from '../engine/followupTable';
import type { Coding } from './covariate';
import { enumCode } from './sql';

// What a comparison is repeated without, or for alone: SQL of 1 where it is so of the procedure, 0 otherwise.

type CodeSql = Pick<Coding, 'code' | 'column'>;

/** `column`: the only one that it depends on. */
const whether = (condition: string, column?: string): CodeSql => ({ code: `coalesce((${condition})::INTEGER, 0)`, ...(column !== undefined && { column }) });

export const metalBacked = whether(`${quoteName(componentColumn('glenoid', 'design'))} = 'metal_backed'`, componentColumn('glenoid', 'design'));

/** Of the patient's known primary procedures of this joint the first, whatever its class; of several on one day that of the lowest number. */
export const firstJoint = whether('procedure IN (SELECT arg_min(procedure, (procedure_day, procedure)) FROM followup GROUP BY patient, joint)');

export const majorRevision = whether("ending = 'revision' AND kind = 'major'");

/** In the 365 days from the first use of its model at its hospital that the extract knows of; never where either is not recorded. */
export const newAtHospital = (role: Role): CodeSql => whether(`procedure IN (SELECT procedure FROM followup
WHERE hospital IS NOT NULL AND ${quoteName(componentColumn(role, 'model'))} IS NOT NULL
QUALIFY procedure_day - min(procedure_day) OVER (PARTITION BY hospital, ${quoteName(componentColumn(role, 'model'))}) < 365)`);

/** Numbers as in `enumCode`. */
export const atHospitals = (hospitals: readonly number[]): CodeSql => whether(hospitals.length === 0 ? 'false' : `${enumCode('hospital')} IN (${hospitals.join(', ')})`, 'hospital');

export const afterYear = (year: number): CodeSql => whether(`"year" > ${year}`, 'year');
