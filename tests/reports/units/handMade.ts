import { UnitsQuestion, type ChosenUnit } from '../../../lib/contract/unitsQuestion';
import { unitLines } from '../../../lib/screening/units/unitLines';
import { standardisedRatio } from '../../../lib/screening/standardisation/standardisedRatio';
import type { DriverLevel, QualityCheck, UnitAnalysis, UnitsAnalysis } from '../../../lib/screening/units/unitsResult';
import type { UnitsView } from '../../../lib/reports/units/unitsView';

// An invented registry of twelve hospitals, of which `OWN` has twice the revisions expected of it and `FEW` has three.

const source = { registry: 'Invented', version: '1', opened: '2005-01-01', closingDate: '2024-12-31', fingerprint: 'ab12'.repeat(16) };

export const counts: Readonly<Record<string, readonly [observed: number, expected: number]>> = {
  OWN: [60, 30], FEW: [3, 2.5], PEER01: [18, 20], PEER02: [31, 28], PEER03: [12, 15], PEER04: [25, 24], PEER05: [9, 10], PEER06: [40, 44], PEER07: [14, 12],
  PEER08: [22, 25], PEER09: [35, 33], NONE: [0, 0],
};

export function hospitals(question: UnitsQuestion = UnitsQuestion.parse({})): UnitsAnalysis {
  const units = Object.entries(counts).sort(([a], [b]) => (a < b ? -1 : 1)).map(([id, [observed, expected]]) => ({
    id, procedures: Math.round(20 * expected), leftOut: 0, standardised: standardisedRatio(observed, expected),
  }));
  const { lines, funnel, spread } = unitLines(units, question);
  return {
    status: 'ok', question, source, attrition: [{ label: 'All', excluded: 0, remaining: 5000 }], adjustedFor: ['Age', 'Sex'], leftOut: [], procedures: 4870, observed: 269,
    untilDay: 3653, units: lines, funnel, spread, methods: ['By hand'], notes: [],
  };
}

export const level = (label: string, observed: number, expected: number): DriverLevel => {
  const ratio = standardisedRatio(observed, expected);
  return {
    key: label, label, procedures: 100, observed, expected, excess: observed - expected, peersPercent: 10, peersRatio: null,
    ratio: ratio.status === 'ok' ? { value: ratio.ratio, lower: ratio.lower, upper: ratio.upper } : ratio,
  };
};

export const check = (label: string, unlike: boolean): QualityCheck =>
  ({ name: label, label, own: { count: 30, of: 100 }, peers: { count: 100, of: 1000 }, unlike, why: 'It may move the numbers.' });

const curve = (group: string) => ({
  group, days: Float64Array.of(0, 365, 3653), percent: Float64Array.of(0, 2, 8), lower: Float64Array.of(0, 1, 6), upper: Float64Array.of(0, 3, 10), atRisk: Float64Array.of(600, 500, 200),
  stop: { day: 3653, atRisk: 200, stopped: false }, thinFromDay: null,
});

const lineOf = (id: string, question: UnitsQuestion) => hospitals(question).units.find((line) => line.id === id)!;

/** One of the hospitals beside the others. */
export function hospital(id: string, changes: Partial<UnitAnalysis> = {}, question: UnitsQuestion = UnitsQuestion.parse({})): UnitAnalysis {
  const unit: ChosenUnit = { kind: 'hospital', id, chosenPeers: [] };
  const at = (group: string) => ({ years: 10, group, atRisk: 200, events: 40, estimate: { value: 8, lower: 6, upper: 10 } });
  return {
    status: 'ok', question, unit, source, attrition: [{ label: 'All', excluded: 0, remaining: 5000 }], adjustedFor: ['Age', 'Sex'], leftOut: [],
    reference: { procedures: 4200, observed: 209, untilDay: 3653 }, peers: { label: 'all other hospitals', hospitals: 11, surgeons: 40, procedures: 4200 },
    line: lineOf(id, question), quality: [check('BMI not recorded', false)],
    caseMix: [{ characteristic: 'sex', label: 'Sex', levels: [{ key: 'female', label: 'Women', counts: [300, 2000], percents: [50, 48] }], largestDifference: 0.04 }],
    curves: [curve('unit'), curve('peers')], riskTable: { days: [0, 3653], atRisk: [[600, 200], [4200, 1500]] },
    atTimes: [at('unit'), at('peers')], adjustedAtTimes: [at('unit'), at('peers')],
    drivers: [{ name: 'reason', label: 'Reason for revision', note: null, levels: [level('Infection', 12, 6), level('Loosening', 48, 24)] }],
    years: [
      { year: 2015, procedures: 80, observed: 12, expected: 6, ratio: { value: 2, lower: 1.03, upper: 3.49 } },
      { year: 2024, procedures: 60, observed: 0, expected: 0.4, ratio: { value: 0, lower: 0, upper: 9.2 } },
    ],
    benchmark: null, surgeons: [{ ...lineOf('PEER01', question), id: 'SURGEON7' }], methods: ['By hand'], notes: [], ...changes,
  };
}

export const view = (changes: Partial<UnitsView> = {}): UnitsView => ({ names: false, marked: null, benchmarkSet: null, ...changes });
export const own: UnitsView = view({ marked: { kind: 'hospital', id: 'OWN' } });
