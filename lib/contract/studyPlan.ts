import { z } from 'zod';

const words = (most: number) => z.string().trim().max(most).default('');
const share = z.number().gt(0).lt(1);

/** An end point that a patient has or has not: a torn tendon, a sign on the radiograph. Shares 0–1 expected, an arm each. */
export const ProportionEndPoint = z.strictObject({
  kind: z.literal('proportion'),
  shares: z.array(share).min(2).max(3),
  margin: share.nullable().default(null), // how much higher would still be `not worse`; null: a difference is looked for
});

/** A measurement, higher is better: a score, a range of motion. Means expected, an arm each. */
export const MeanEndPoint = z.strictObject({
  kind: z.literal('mean'),
  means: z.array(z.number()).min(2).max(3),
  sd: z.number().positive(),
  baselineCorrelation: z.number().min(0).lt(1).default(0), // with the same measurement before surgery, if the analysis adjusts for it; 0: it does not
  margin: z.number().positive().nullable().default(null), // how much lower would still be `not worse`
});

/** Time to revision. Percents revised, 0–100, an arm each, by `atYears`. */
export const RevisionEndPoint = z.strictObject({
  kind: z.literal('revision'),
  percents: z.array(z.number().gt(0).lt(100)).min(2).max(3),
  atYears: z.number().positive().max(30),
  accrualYears: z.number().positive().max(30),
  furtherYears: z.number().min(0).max(30), // from the last procedure to the analysis
  lossPercentPerYear: z.number().min(0).max(50).default(2), // who dies or leaves
  margin: z.number().gt(1).max(10).nullable().default(null), // hazard ratio that would still be `not worse`
});

export const EndPoint = z.discriminatedUnion('kind', [ProportionEndPoint, MeanEndPoint, RevisionEndPoint]);
export type EndPoint = z.infer<typeof EndPoint>;

/** Which comparisons must be seen: every pair, each arm with the first, or that some arm differs at all. */
export const comparisonKinds = ['everyPair', 'withFirst', 'overall'] as const;

/** A planned comparison of two or three arms. Holds words and numbers of the plan, and nothing of a patient. */
export const StudyPlan = z.strictObject({
  plan: z.literal(1), // version of this form
  title: z.string().trim().min(1).max(200),
  question: words(1000),
  arms: z.array(z.strictObject({ label: z.string().trim().min(1).max(80), weight: z.number().positive().max(10).default(1) })).min(2).max(3),
  assignment: z.enum(['random', 'observed']),
  endPoint: EndPoint,
  endPointWords: words(500),
  comparisons: z.enum(comparisonKinds).default('everyPair'),
  alpha: z.number().min(0.001).max(0.2).default(0.05), // two-sided, over all comparisons together
  power: z.number().min(0.5).max(0.99).default(0.8), // of each comparison
  recruitable: z.int().min(2).max(5_000_000).nullable().default(null), // procedures that can be had in the smallest arm; null: as many as are needed
  attritionPercent: z.number().min(0).max(80).default(10), // without the end point in the end
  perCluster: z.number().min(1).max(10_000).default(1), // procedures of one surgeon or patient
  clusterCorrelation: z.number().min(0).max(1).default(0), // within one of them
  visits: z.array(z.string().min(1).max(16)).max(20).default([]), // codes of visit windows
  measures: z.array(z.string().trim().min(1).max(120)).max(40).default([]),
  secondary: words(2000),
  analysis: words(4000),
}).superRefine(({ arms, endPoint, comparisons }, context) => {
  const values = endPoint.kind === 'proportion' ? endPoint.shares : endPoint.kind === 'mean' ? endPoint.means : endPoint.percents;
  const refuse = (path: (string | number)[], message: string) => { context.addIssue({ code: 'custom', path, message }); };
  if (values.length !== arms.length) refuse(['endPoint'], `there are ${arms.length} arms, but ${values.length} values are expected`);
  if (comparisons === 'overall' && arms.length === 2) refuse(['comparisons'], 'with two arms the comparison is that of the pair');
  if (comparisons === 'overall' && endPoint.margin !== null) refuse(['comparisons'], '`not worse` is a comparison of two arms');
});
export type StudyPlan = z.infer<typeof StudyPlan>;
