import type { Analysis, AtTime, CoxResult, Curve, Estimate, Group, HazardRatio } from '@/lib/analysis/result';
import { openingQuestion } from '@/lib/contract/openingQuestion';

// An invented answer to the opening question, for the words and tables made of it. No number here is checked against anything.

const group = (key: string, label: string, part: Partial<Group> = {}): Group => ({
  key, label, procedures: 3000, patients: 2900, events: 200, competing: { otherRevisions: 0, deaths: 700 }, componentYears: 22_000, hospitals: 60,
  surgeons: 240, largestHospitalShare: 8.4, largestSurgeonShare: 2.2, firstYear: 2005, lastYear: 2024, medianFollowUpDays: 4383, ...part,
});
const pegged = group('all_poly_pegged', 'All-polyethylene pegged'), keeled = group('all_poly_keeled', 'All-polyethylene keeled');

export const estimate = (value: number, lower: number, upper: number): Estimate => ({ value, lower, upper });
const none = { status: 'notEstimable', reason: 'too few at risk (n = 31)' } as const;

export const at = (years: number, group: string, events: number, found: Estimate | typeof none): AtTime => ({ years, group, atRisk: 500, events, estimate: found });

const curve = (group: string, stop: Partial<Curve['stop']> = {}): Curve => ({
  group, days: Float64Array.of(0, 400), percent: Float64Array.of(0, 2), lower: Float64Array.of(0, 1), upper: Float64Array.of(0.1, 3), atRisk: Float64Array.of(3000, 2500),
  stop: { day: 3653, atRisk: 1288, stopped: false, ...stop }, thinFromDay: null,
});

export const ratio = (part: Partial<HazardRatio>): HazardRatio => ({
  term: 'group', level: 'all_poly_keeled', label: 'All-polyethylene keeled', against: 'All-polyethylene pegged', procedures: 3160, events: 210,
  estimate: estimate(1.62, 1.36, 1.94), p: 1e-7, ...part,
});

export const cox = (part: Partial<CoxResult> = {}): CoxResult => ({
  status: 'ok', adjustedFor: ['Age', 'Sex'], reference: 'all_poly_pegged', procedures: 11_113, events: 486, leftOut: [], clusterLabel: 'patient', clusters: 10_838,
  ratios: [ratio({})], proportionalHazards: [{ term: 'group', label: 'Group', chisq: 0.4, df: 1, p: 0.53 }], groupsProportional: true, notes: [], ...part,
});

export const pegsAndKeels = (part: Partial<Analysis> = {}): Analysis => ({
  status: 'ok',
  question: openingQuestion,
  source: { registry: 'Harbour registry', version: '3', opened: '2005-01-01', closingDate: '2024-12-31', fingerprint: 'ab'.repeat(32) },
  notes: [],
  attrition: [{ label: 'Procedures in the extract', excluded: 0, remaining: 39_985 }, { label: 'Class: Anatomic total', excluded: 28_872, remaining: 11_113 }],
  groups: [pegged, keeled],
  reference: 'all_poly_pegged',
  caseMix: [],
  calendar: { years: [2005, 2006], counts: [[10, 12], [9, 8]] },
  curves: [curve('all_poly_pegged'), curve('all_poly_keeled')],
  atTimes: [
    at(7, 'all_poly_pegged', 229, estimate(4.04, 3.52, 4.63)), at(7, 'all_poly_keeled', 146, estimate(5.66, 4.8, 6.6)),
    at(10, 'all_poly_pegged', 276, estimate(5.8, 5.12, 6.58)), at(10, 'all_poly_keeled', 210, estimate(9.5, 8.3, 10.8)),
  ],
  riskTable: { days: [0], atRisk: [[3000], [3000]] },
  rates: [],
  logRank: { status: 'ok', chisq: 23.3, df: 1, p: 1.4e-6, stratified: false },
  unadjusted: cox({ adjustedFor: [] }),
  adjusted: cox(),
  periods: [],
  ...part,
});

export const stoppedAt = (group: string, day: number, atRisk: number): Curve => curve(group, { day, atRisk, stopped: true });
export const notRead = none;
export { keeled, pegged };
