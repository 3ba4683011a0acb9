import { z } from 'zod';
import * as codes from './codes';
import { covariates, Outcome, ProcedureCohort } from './question';

/** Whose results are looked at: those of the implanting hospital or of the surgeon of record. */
export const unitKinds = ['hospital', 'surgeon'] as const;
export type UnitKind = (typeof unitKinds)[number];

/** Against whom: every other unit, those of like yearly volume, those of the same region, or hospitals that the person names. */
export const peerKinds = ['all', 'volume', 'region', 'chosen'] as const;

/** A bar set beforehand by those who decide, with where it comes from. Percentages 0–100 of cumulative percent revision. */
export const Benchmark = z.strictObject({
  percent: z.number().gt(0).lt(100),
  margin: z.number().min(0).lt(50), // percentage points
  atYears: z.number().positive().max(30),
  joint: z.enum(codes.joints), // that it was set for
  source: z.string().trim().min(3).max(300),
  setIn: z.int().min(1950).max(2100), // year
});
export type Benchmark = z.infer<typeof Benchmark>;

/** Which units are looked at and how. Names no unit: pages keep the one that is looked at out of the address. */
export const UnitsQuestion = z.strictObject({
  kind: z.enum(unitKinds).default('hospital'),
  cohort: ProcedureCohort.prefault({}),
  outcome: Outcome.omit({ ofRoleOnly: true }).prefault({}),
  adjust: z.array(z.enum(covariates)).default(['age', 'sex', 'indication', 'class', 'period']),
  peers: z.enum(peerKinds).default('all'),
  horizonYears: z.int().min(1).max(30).default(10),
  atYears: z.array(z.number().positive().max(30)).min(1).max(12).default([1, 2, 5, 10]),
  confidence: z.number().min(0.5).max(0.999).default(0.95),
  largestStep: z.number().min(0).max(1).default(0.02), // stop rule, as in a comparison
  widening: z.enum(['additive', 'multiplicative']).default('additive'), // of the funnel, where units differ by more than chance
  /** A unit is asked about from outside these widened limits upwards: half of what they leave out is the share of false alarms, 0–1. */
  alarmLevel: z.number().min(0.8).max(0.999).default(0.95),
  minimumRatio: z.number().min(1).max(10).default(1.5), // and from this ratio of observed to expected
  minimumExpected: z.number().min(0.1).max(100).default(2), // and from so many revisions expected
  benchmark: Benchmark.nullable().default(null),
});
export type UnitsQuestion = z.infer<typeof UnitsQuestion>;

/** The unit that is looked at, by its identifier in the extract; a surgeon may be looked at inside one hospital. */
export const ChosenUnit = z.strictObject({
  kind: z.enum(unitKinds),
  id: z.string().min(1).max(64),
  chosenPeers: z.array(z.string().min(1).max(64)).default([]), // hospitals, where peers are `chosen`
});
export type ChosenUnit = z.infer<typeof ChosenUnit>;
