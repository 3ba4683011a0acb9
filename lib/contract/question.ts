import { z } from 'zod';
import * as codes from './codes';

/** What can tell the groups of a comparison apart. `design`, `model` and `material` are those of the component named by `role`. */
export const comparisons = ['design', 'model', 'material', 'proximal_fixation', 'distal_fixation', 'class', 'indication', 'sex', 'period'] as const;
export type Comparison = (typeof comparisons)[number];

/** Covariates that a comparison can be adjusted for. `age` enters as bands (under 55, 55–64, 65–74, 75 and over), `age_linear` per 10 years. */
export const covariates = ['age', 'age_linear', 'sex', 'indication', 'asa', 'bmi', 'period', 'class', 'approach'] as const;
export type Covariate = (typeof covariates)[number];

/** Factors that may give each level its own baseline hazard instead of a coefficient. */
export const strataFactors = ['sex', 'indication', 'period', 'class', 'region', 'hospital'] as const;
export const clusterUnits = ['none', 'patient', 'hospital', 'surgeon'] as const;

/** The key of the group that all levels make which a question does not name, where it wants them as one. */
export const othersKey = 'others';

const list = <const T extends readonly [string, ...string[]]>(values: T) => z.array(z.enum(values)).default([]);
const identifiers = z.array(z.string().min(1).max(64)).default([]);
const year = z.int().min(1950).max(2100);

/** Which procedures count, whatever was implanted. An empty list does not restrict. Ages in completed years and calendar years, both ends included. */
export const ProcedureCohort = z.strictObject({
  joint: z.enum(codes.joints).default('shoulder'),
  classes: list(codes.codesOf(codes.procedureClassCodes)),
  indications: list(codes.codesOf(codes.indicationCodes)),
  sexes: list(codes.codesOf(codes.sexCodes)),
  minAge: z.int().min(0).max(120).nullable().default(null),
  maxAge: z.int().min(0).max(120).nullable().default(null),
  firstYear: year.nullable().default(null),
  lastYear: year.nullable().default(null),
  proximalFixations: list(codes.codesOf(codes.fixationCodes)),
  distalFixations: list(codes.codesOf(codes.fixationCodes)),
});
export type ProcedureCohort = z.infer<typeof ProcedureCohort>;

/** Those of them that have the component named by `role`, of these designs and models. */
export const Cohort = ProcedureCohort.extend({
  role: z.enum(codes.codesOf(codes.roleCodes)).default('glenoid'),
  designs: list(codes.codesOf(codes.designClassCodes)),
  models: identifiers,
  exceptModels: identifiers, // of this component's models, those that are left out
});
export type Cohort = z.infer<typeof Cohort>;

/** The event of interest. Other reasons, and revisions of other components, then end follow-up as a competing event. */
export const Outcome = z.strictObject({
  kinds: z.array(z.enum(['major', 'minor'])).min(1).default(['major', 'minor']),
  reasons: list(codes.codesOf(codes.reasonCodes)), // empty: any reason
  ofRoleOnly: z.boolean().default(false), // true: only revisions in which the component named by `role` was removed or exchanged
});
export type Outcome = z.infer<typeof Outcome>;

export const Question = z
  .strictObject({
    cohort: Cohort.prefault({}),
    compare: z.enum(comparisons).default('design'),
    groups: z.array(z.string().min(1).max(64)).max(12).default([]), // empty: every group with at least one procedure, largest 8 first
    withOthers: z.boolean().default(false), // all levels that are not in `groups` are one more group, and the reference unless another is set
    reference: z.string().min(1).max(64).nullable().default(null), // null: the largest group
    adjust: list(covariates),
    strata: list(strataFactors),
    cluster: z.enum(clusterUnits).default('patient'),
    outcome: Outcome.prefault({}),
    horizonYears: z.int().min(1).max(30).default(10),
    atYears: z.array(z.number().positive().max(30)).min(1).max(12).default([1, 2, 5, 7, 10]),
    cutYears: z.array(z.number().positive().max(30)).max(3).default([0.5, 2]), // cuts of the period-specific hazard ratios
    confidence: z.number().min(0.5).max(0.999).default(0.95),
    largestStep: z.number().min(0).max(1).default(0.02), // stop rule: the most by which one more revision may lower S; 0 stops nothing
  })
  .refine((q) => q.cohort.minAge === null || q.cohort.maxAge === null || q.cohort.minAge <= q.cohort.maxAge, {
    message: 'minAge must not be above maxAge', path: ['cohort', 'minAge'],
  })
  .refine((q) => q.cohort.firstYear === null || q.cohort.lastYear === null || q.cohort.firstYear <= q.cohort.lastYear, {
    message: 'firstYear must not be after lastYear', path: ['cohort', 'firstYear'],
  })
  .refine((q) => !q.withOthers || q.groups.length > 0, { message: 'withOthers needs at least one group that the others stand against', path: ['withOthers'] })
  .refine((q) => !q.withOthers || !q.groups.includes(othersKey), { message: `with withOthers no group may be called “${othersKey}”`, path: ['groups'] })
  .refine((q) => q.cutYears.every((c, i) => i === 0 || c > q.cutYears[i - 1]!), { message: 'cutYears must ascend', path: ['cutYears'] });

/** The whole of what is asked: the same in the address bar, in a file and on the command line. */
export type Question = z.infer<typeof Question>;
