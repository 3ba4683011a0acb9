import type { Network } from './network';
import type { PlantedRow, PlantedRule } from './plantedErrors';
import type { SimulationOptions } from './simulate';
import type { DesignClass, Reason } from './codes';
import { baseline, infectionRatios, patientRatios, periodStarts } from './hazards';
import { hazardOf } from './revisionHazard';
import * as scenario from './scenario';

/** Log hazard ratios against a reference design, one entry per period of `periodStartDays`; null: no hazard there. */
export interface DesignTruth {
  readonly class: 'anatomic_total';
  readonly role: 'glenoid' | 'humeral_stem';
  readonly reference: DesignClass;
  readonly allRevisions: Readonly<Partial<Record<DesignClass, readonly number[]>>>;
  readonly glenoidLoosening: Readonly<Partial<Record<DesignClass, readonly (number | null)[]>>>;
}

export interface Truth {
  readonly note: string;
  readonly seed: number;
  readonly procedures: number;
  readonly counts: Readonly<Record<'patients' | 'procedures' | 'firstRevisions' | 'deaths' | 'revisions', number>>;
  readonly planted: {
    readonly components: readonly { readonly role: string; readonly model: string; readonly hazardRatio: number }[];
    readonly hospitals: readonly { readonly hospital: string; readonly hazardRatio: number }[];
    readonly surgeon: { readonly surgeon: string; readonly hazardRatio: number };
  };
  readonly logNormalSd: { readonly patient: number; readonly hospital: number; readonly surgeon: number };
  readonly learning: { readonly firstUseLogHazardRatio: number; readonly uses: number };
  readonly covariateLogHazardRatios: { readonly agePerTenYears: number; readonly male: number; readonly indication: Readonly<Record<string, number>> };
  readonly infectionOnlyLogHazardRatios: { readonly perAsaGradeOver2: number; readonly perBmiUnitOver28: number };
  readonly periodStartDays: readonly number[];
  readonly designs: readonly DesignTruth[];
  readonly reportingDelayMeanDays: number;
  readonly plantedErrors: { readonly counts: Readonly<Partial<Record<PlantedRule, number>>>; readonly rows: readonly PlantedRow[] };
}

const logRatio = (a: number, b: number) => Math.log(a / b);

function total(designs: readonly DesignClass[], period: number): number {
  return (Object.keys(baseline.anatomic_total) as Reason[]).reduce((sum, reason) => sum + hazardOf('anatomic_total', designs, reason, period), 0);
}

function designTruth(role: DesignTruth['role'], reference: DesignClass, others: readonly DesignClass[], beside: readonly DesignClass[]): DesignTruth {
  const periods = periodStarts.map((_, p) => p);
  const loosening = (design: DesignClass, p: number) => hazardOf('anatomic_total', [design, ...beside], 'glenoid_loosening', p);
  return {
    class: 'anatomic_total', role, reference,
    allRevisions: Object.fromEntries(others.map((d) => [d, periods.map((p) => logRatio(total([d, ...beside], p), total([reference, ...beside], p)))])),
    glenoidLoosening: Object.fromEntries(others.map((d) => [d, periods.map((p) => {
      const base = loosening(reference, p);
      return base > 0 ? logRatio(loosening(d, p), base) : null;
    })])),
  };
}

/** What was planted and drawn, for checks that an analysis finds it again. */
export function describeTruth(
  { procedures, seed }: SimulationOptions, network: Network, errorRows: readonly PlantedRow[], counts: Truth['counts'],
): Truth {
  const counted: Partial<Record<PlantedRule, number>> = {};
  for (const { rule } of errorRows) counted[rule] = (counted[rule] ?? 0) + 1;
  const { agePerTenYears, men, indication } = patientRatios;
  return {
    note: 'Invented. Ratios hold with everything else alike, learning cases included, and away from the planted models, hospitals and surgeon. '
      + 'The frail are revised first, so that late ratios of a design with many revisions come out about 0.1 lower on the log scale.',
    seed, procedures, counts,
    planted: {
      components: scenario.planted.components.map((c) => ({ role: c.role, model: c.model, hazardRatio: c.ratio })),
      hospitals: network.plantedHospitals.map((h) => ({ hospital: h.id, hazardRatio: h.ratio })),
      surgeon: { surgeon: network.plantedSurgeon.id, hazardRatio: network.plantedSurgeon.ratio },
    },
    logNormalSd: { patient: scenario.patientSd, hospital: scenario.network.hospitalSd, surgeon: scenario.network.surgeonSd },
    learning: { firstUseLogHazardRatio: scenario.learning.first, uses: scenario.learning.uses },
    covariateLogHazardRatios: {
      agePerTenYears: Math.log(agePerTenYears), male: Math.log(men),
      indication: Object.fromEntries(Object.entries(indication).map(([code, ratio]) => [code, Math.log(ratio)])),
    },
    infectionOnlyLogHazardRatios: { perAsaGradeOver2: Math.log(infectionRatios.perAsaGrade), perBmiUnitOver28: Math.log(infectionRatios.perBmiUnit) },
    periodStartDays: periodStarts,
    designs: [
      designTruth('glenoid', 'all_poly_pegged', ['all_poly_keeled', 'all_poly_fluted_peg', 'metal_backed'], ['standard_stem']),
      designTruth('humeral_stem', 'standard_stem', ['short_stem', 'stemless', 'long_stem'], ['all_poly_pegged']),
    ],
    reportingDelayMeanDays: scenario.reportingDelayMean,
    plantedErrors: { counts: counted, rows: errorRows },
  };
}
