import { z } from 'zod';
import * as codes from './codes';
import { covariates, Outcome, ProcedureCohort } from './question';

/** Whose revisions are followed over time: those of procedures of a hospital, of a surgeon, or with one model of a component. */
export const subjectKinds = ['hospital', 'surgeon', 'component'] as const;
export type SubjectKind = (typeof subjectKinds)[number];

/** When a chart starts again from 0: on the days on which a review was closed, or after each signal. */
export const restarts = ['afterReview', 'afterSignal'] as const;

/** How often people look at the chart: at the end of each. */
export const lookPeriods = ['month', 'quarter', 'year'] as const;
export type LookPeriod = (typeof lookPeriods)[number];

/** Whether a chart over calendar time signals. Names no hospital and no surgeon: pages keep the one that is looked at out of the address. */
export const MonitoringQuestion = z
  .strictObject({
    kind: z.enum(subjectKinds).default('hospital'),
    role: z.enum(codes.codesOf(codes.roleCodes)).default('glenoid'), // of a component; it is held against others of its role and design class
    model: z.string().min(1).max(64).nullable().default(null), // null: none chosen yet
    cohort: ProcedureCohort.prefault({}),
    outcome: Outcome.prefault({}), // `ofRoleOnly` for a component only
    adjust: z.array(z.enum(covariates)).default(['age', 'sex', 'indication', 'class', 'period']),
    horizonYears: z.int().min(1).max(30).default(10), // since surgery
    largestStep: z.number().min(0).max(1).default(0.02), // stop rule of the reference's curve, beyond which nothing is expected
    ratio: z.number().min(1.1).max(10).default(2), // what the chart looks for, as a multiple of the expected revisions
    falseAlarm: z.number().min(0.001).max(0.5).default(0.05), // chance of any signal in `overYears` although the risk is the expected one
    overYears: z.int().min(1).max(20).default(5),
    histories: z.int().min(1000).max(100_000).default(10_000), // simulated to find the limit
    seed: z.int().min(1).max(2 ** 31 - 1).default(1),
    firstDay: z.iso.date().nullable().default(null), // null: the registry's opening or the first procedure, whichever is later
    lastDay: z.iso.date().nullable().default(null), // null: the closing date less `lagDays`
    lagDays: z.int().min(0).max(1095).default(90), // before the closing date, for which reports are still coming in
    restart: z.enum(restarts).default('afterReview'),
    reviews: z.array(z.iso.date()).max(40).default([]), // days on which a review was closed
    looks: z.enum(lookPeriods).default('quarter'),
  })
  .refine((q) => q.kind === 'component' || !q.outcome.ofRoleOnly, { message: 'only the chart of a component can count revisions of that component alone', path: ['outcome', 'ofRoleOnly'] })
  .refine((q) => q.firstDay === null || q.lastDay === null || q.firstDay < q.lastDay, { message: 'firstDay must be before lastDay', path: ['firstDay'] })
  .refine((q) => q.reviews.every((day, i) => i === 0 || day > q.reviews[i - 1]!), { message: 'reviews must ascend', path: ['reviews'] });
export type MonitoringQuestion = z.infer<typeof MonitoringQuestion>;

/** The hospital or surgeon whose chart is drawn, by its identifier in the extract. A component is named in the question. */
export const MonitoredUnit = z.strictObject({ kind: z.enum(['hospital', 'surgeon']), id: z.string().min(1).max(64) });
export type MonitoredUnit = z.infer<typeof MonitoredUnit>;
