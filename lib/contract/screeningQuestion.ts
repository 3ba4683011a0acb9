import { z } from 'zod';
import * as codes from './codes';
import { covariates, Outcome, ProcedureCohort } from './question';

/** What a model is held against: all others of its role and design class, of its role, or of its role in the same class of procedure. */
export const comparators = ['design', 'role', 'roleAndClass'] as const;
export type Comparator = (typeof comparators)[number];

const model = z.string().min(1).max(64);

/** What a model must meet to be assessed and to be flagged. The usual values are the project's own choices, to be set by those who decide. */
export const ScreeningCriteria = z.strictObject({
  minimumAtRisk: z.int().min(0).max(100_000).default(50), // procedures at risk …
  atRiskYears: z.number().min(0).max(30).default(2), // … so long after surgery
  minimumExpected: z.number().min(0).max(1000).default(1), // revisions, were the model like all of its kind
  minimumRatio: z.number().min(1).max(20).default(1.5), // of its rate of revision to all others'
  confidence: z.number().min(0.5).max(0.999).default(0.95), // of the shrunken ratio and of every ratio shown
  falseDiscoveryRate: z.number().min(0.001).max(0.5).default(0.05), // 0–1, over all models assessed in one run
  test: z.enum(['conditional', 'poisson']).default('conditional'), // poisson: the others' rate taken as known
});
export type ScreeningCriteria = z.infer<typeof ScreeningCriteria>;

/** A model that was flagged at an earlier look. */
export const EarlierSignal = z.strictObject({ model, look: z.int().min(1).max(999) }, 'it has to be a look and a model, such as “2:G-10”');
export type EarlierSignal = z.infer<typeof EarlierSignal>;

/** Which models are screened, against what and how: kept with each run. */
export const ScreeningQuestion = z
  .strictObject({
    cohort: ProcedureCohort.prefault({}),
    outcome: Outcome.prefault({}),
    roles: z.array(z.enum(codes.codesOf(codes.roleCodes))).default([]), // empty: every role of the joint
    comparator: z.enum(comparators).default('design'),
    exceptModels: z.array(model).default([]), // left out of what others are held against; screened themselves
    horizonYears: z.int().min(1).max(30).default(10),
    adjust: z.array(z.enum(covariates)).default(['age', 'sex', 'indication', 'period', 'class']), // of the models that are flagged
    cutYears: z.array(z.number().positive().max(30)).max(3).default([0.5, 2]), // between the periods of their ratios
    criteria: ScreeningCriteria.prefault({}),
    look: z.int().min(1).max(1000).default(1), // number of this look at the accumulating data
    earlier: z.array(EarlierSignal).max(200).default([]), // carried forward, cleared ones too
  })
  .refine((q) => q.cohort.minAge === null || q.cohort.maxAge === null || q.cohort.minAge <= q.cohort.maxAge, {
    message: 'minAge must not be above maxAge', path: ['cohort', 'minAge'],
  })
  .refine((q) => q.cohort.firstYear === null || q.cohort.lastYear === null || q.cohort.firstYear <= q.cohort.lastYear, {
    message: 'firstYear must not be after lastYear', path: ['cohort', 'firstYear'],
  })
  .refine((q) => q.roles.every((role) => codes.roleCodes.some((known) => known.code === role && codes.appliesTo(known, q.cohort.joint))), {
    message: 'roles must be of the joint', path: ['roles'],
  })
  .refine((q) => q.cutYears.every((c, i) => i === 0 || c > q.cutYears[i - 1]!), { message: 'cutYears must ascend', path: ['cutYears'] })
  .refine((q) => q.criteria.atRiskYears <= q.horizonYears, { message: 'atRiskYears must not be beyond horizonYears', path: ['criteria', 'atRiskYears'] })
  .refine((q) => q.earlier.every(({ look }) => look < q.look), { message: 'an earlier signal must be of a look before this one', path: ['earlier'] })
  .refine((q) => new Set(q.earlier.map((e) => JSON.stringify([e.look, e.model]))).size === q.earlier.length, { message: 'no signal twice', path: ['earlier'] });
export type ScreeningQuestion = z.infer<typeof ScreeningQuestion>;

/** A model in the place in which it was screened; the class of procedure where that is part of what it is held against. */
export const ChosenComponent = z.strictObject({ model, class: z.enum(codes.codesOf(codes.procedureClassCodes)).nullable().default(null) });
export type ChosenComponent = z.infer<typeof ChosenComponent>;
