import { z } from 'zod';
import { measureNames, measureOf } from './measures';
import { clusterUnits, Cohort, comparisons, covariates, Outcome, othersKey, Question } from './question';
import { visitWindows, type VisitWindowCode } from './visitWindows';

const text = (longest: number) => z.string().trim().min(1).max(longest);
const codes = visitWindows.map(({ code }) => code) as [VisitWindowCode, ...VisitWindowCode[]];
const measure = z.string().refine((name) => measureOf(name) !== undefined, { error: `must be one of ${measureNames.join(', ')}` });

/**
 * The least change that patients notice as worthwhile. It belongs to an instrument, a way of finding it (the anchor) and a population, and has
 * no usual value: whoever asks says where it comes from.
 */
export const ImportantDifference = z.strictObject({
  measure: measure.refine((name) => { const of = measureOf(name); return of?.kind === 'amount' && of.hasBaseline; }, { error: 'must be a measure with a baseline' }).default('score_total'),
  value: z.number().positive().max(200),
  instrument: text(120),
  anchor: text(200),
  population: text(200),
  source: text(300),
});
export type ImportantDifference = z.infer<typeof ImportantDifference>;

/** What is asked of follow-up visits: the same in the address bar, in a file and on the command line. */
export const VisitsQuestion = z
  .strictObject({
    cohort: Cohort.prefault({}),
    compare: z.enum(comparisons).default('design'),
    groups: z.array(z.string().min(1).max(64)).max(8).default([]), // empty: every group, largest 8 first
    withOthers: z.boolean().default(false),
    reference: z.string().min(1).max(64).nullable().default(null), // null: the largest group
    adjust: z.array(z.enum(covariates)).default([]), // of the models
    cluster: z.enum(clusterUnits).default('patient'), // of the models' robust limits: both shoulders of a patient are alike
    windows: z.array(z.enum(codes)).default([]), // empty: every visit of the extract
    measures: z.array(measure).default([]), // empty: everything that the extract records
    headOffsetOverMm: z.number().min(0).max(40).default(3), // a head further from the ideal is out of place
    landmarkYears: z.array(z.number().positive().max(15)).min(1).max(5).default([1, 2, 5]), // from when later revisions are counted, signs by then
    outcome: Outcome.prefault({}), // which later revisions
    horizonYears: z.int().min(1).max(30).default(15), // up to when they are counted
    instrument: z.string().min(1).max(32).nullable().default(null), // score totals of this one only; null: of the one that there is
    importantDifference: ImportantDifference.nullable().default(null),
    confidence: z.number().min(0.5).max(0.999).default(0.95),
  })
  .refine((q) => q.cohort.minAge === null || q.cohort.maxAge === null || q.cohort.minAge <= q.cohort.maxAge, { message: 'minAge must not be above maxAge', path: ['cohort', 'minAge'] })
  .refine((q) => q.cohort.firstYear === null || q.cohort.lastYear === null || q.cohort.firstYear <= q.cohort.lastYear, {
    message: 'firstYear must not be after lastYear', path: ['cohort', 'firstYear'],
  })
  .refine((q) => !q.withOthers || (q.groups.length > 0 && !q.groups.includes(othersKey)), { message: 'withOthers needs at least one group that the others stand against', path: ['withOthers'] })
  .refine((q) => q.landmarkYears.every((y, i) => i === 0 || y > q.landmarkYears[i - 1]!), { message: 'landmarkYears must ascend', path: ['landmarkYears'] });
export type VisitsQuestion = z.infer<typeof VisitsQuestion>;

/** The question about revision of the same cohort and groups. */
export const revisionQuestion = ({ cohort, compare, groups, withOthers, reference, adjust, cluster, outcome, horizonYears, confidence }: VisitsQuestion): Question =>
  Question.parse({ cohort, compare, groups, withOthers, reference, adjust, cluster, outcome, horizonYears, confidence });
