import type { YearCurve } from './calendar';

// Everything that is assumed about the invented registry. Nothing here describes a real country, hospital, surgeon, maker or product.
// Orders of magnitude are common practice, no source, unless a comment says otherwise. Hazards stand in hazards.ts, models in models.ts.

export const extract = {
  name: 'Tervania Joint Replacement Registry (invented)',
  opened: '2005-01-01',
  closingDate: '2024-12-31',
  deathsClosingDate: '2024-12-15', // the population register is read a fortnight before the extract is drawn
  coveragePercent: 96.5,
} as const;

/** Relative number of procedures by calendar time: fivefold over twenty years. */
export const volume: YearCurve = [[2005, 1], [2010, 1.8], [2015, 3], [2020, 4.1], [2025, 5.2]];
/** A Saturday or Sunday, against a working day. */
export const weekendShare = 0.05;

// ---- Patients ------------------------------------------------------------------------------------------------------------------

/** One joint per patient. Hips and knees are there to show that they load; only shoulders are worked out. */
export const jointShares = { shoulder: 0.97, hip: 0.015, knee: 0.015 } as const;

export interface IndicationProfile {
  readonly share: number; // of the joint's patients
  readonly age: readonly [mean: number, sd: number]; // years
  readonly women: number; // share
  readonly secondSide: number; // chance that the other side is planned too
  readonly asaShift: number; // on the scale of asa.cuts
  readonly deathRatio: number; // hazard ratio of death
}

export const indications = {
  shoulder: {
    osteoarthritis: { share: 0.58, age: [69, 8.5], women: 0.57, secondSide: 0.145, asaShift: 0, deathRatio: 1 },
    cuff_arthropathy: { share: 0.18, age: [75, 7], women: 0.64, secondSide: 0.11, asaShift: 0.1, deathRatio: 1.05 },
    acute_fracture: { share: 0.12, age: [73, 10], women: 0.79, secondSide: 0, asaShift: 0.2, deathRatio: 1.6 },
    fracture_sequelae: { share: 0.03, age: [69, 11], women: 0.7, secondSide: 0, asaShift: 0.1, deathRatio: 1.2 },
    inflammatory_arthritis: { share: 0.035, age: [64, 12], women: 0.74, secondSide: 0.2, asaShift: 0.4, deathRatio: 1.5 },
    osteonecrosis: { share: 0.02, age: [60, 13], women: 0.56, secondSide: 0.15, asaShift: 0.2, deathRatio: 1.4 },
    instability_arthropathy: { share: 0.02, age: [55, 11], women: 0.3, secondSide: 0.03, asaShift: -0.2, deathRatio: 1 },
    tumour: { share: 0.005, age: [63, 14], women: 0.5, secondSide: 0, asaShift: 0.6, deathRatio: 6 },
    other_indication: { share: 0.01, age: [66, 13], women: 0.55, secondSide: 0.05, asaShift: 0, deathRatio: 1.1 },
  },
  hip: {
    osteoarthritis: { share: 0.85, age: [69, 10], women: 0.57, secondSide: 0.145, asaShift: 0, deathRatio: 1 },
    acute_fracture: { share: 0.08, age: [76, 9], women: 0.7, secondSide: 0, asaShift: 0.3, deathRatio: 1.8 },
    osteonecrosis: { share: 0.04, age: [57, 13], women: 0.45, secondSide: 0.145, asaShift: 0.1, deathRatio: 1.3 },
    dysplasia: { share: 0.03, age: [50, 11], women: 0.75, secondSide: 0.2, asaShift: -0.3, deathRatio: 0.9 },
  },
  knee: {
    osteoarthritis: { share: 0.96, age: [69, 9], women: 0.6, secondSide: 0.17, asaShift: 0, deathRatio: 1 },
    inflammatory_arthritis: { share: 0.04, age: [63, 12], women: 0.72, secondSide: 0.2, asaShift: 0.4, deathRatio: 1.5 },
  },
} as const satisfies Record<string, Record<string, IndicationProfile>>;

export const ageLimits = [18, 98] as const;

/** The other side follows after at least `least` days, and then an exponential wait with mean `mean` days. */
export const secondSideGap = { least: 90, mean: 900 } as const;

/** Patients share a log-normal multiplier of the revision hazard between both sides. */
export const patientSd = 0.3;

/** Physical status: a normal variate that rises with age is cut into grades 1, 2, 3 and 4. */
export const asa = { perYearOver70: 0.035, cuts: [-1.3, 0.55, 2.2] } as const;

/** Body mass index is log-normal. */
export const bmi = { median: 28, sdLog: 0.18, limits: [16, 60] } as const;

/** Share of cells left empty, by year. Each hospital is better or worse at it: a normal variate of this sd on the logit scale. */
export const missing = {
  asa: [[2005, 0.6], [2009, 0.25], [2014, 0.06], [2024, 0.02]] as YearCurve,
  bmi: [[2005, 0.98], [2010, 0.85], [2014, 0.3], [2024, 0.08]] as YearCurve,
  approach: [[2005, 0.08], [2015, 0.02]] as YearCurve,
  fixation: [[2005, 0.02], [2015, 0.003]] as YearCurve,
  hospitalSd: 0.8,
} as const;

/** Death by Gompertz (1825): hazard per year at 70, times exp(slope · (age − 70)), times the ratio of ASA grade and indication. */
export const death = { women: 0.011, men: 0.017, slope: 0.1, asaRatios: [0.55, 0.85, 1.7, 3.6] } as const;

/** Emigration or withdrawn consent, per patient and year. */
export const emigrationPerYear = 0.0016;

/** Days from a re-operation until its report reaches the registry: exponential with this mean. Later ones are not in the extract. */
export const reportingDelayMean = 35;

// ---- Hospitals and surgeons ----------------------------------------------------------------------------------------------------

export const network = {
  hospitalsAt40000: 60, // grows with the square root of the number of procedures
  fewestHospitals: 14,
  hospitalVolumeSd: 0.75, // of the logarithm
  surgeonVolumeSd: 0.5,
  hospitalSd: 0.25, // of the log revision hazard
  surgeonSd: 0.2,
  yearlyCasesPerPosition: 30, // in the last year,
  lastYearShare: 0.083, // which has this share of all procedures
  mostPositions: 12,
  tenureYears: { least: 8, meanMore: 6 },
  regions: ['Capital', 'Coast', 'Highlands', 'Lakes', 'North'],
  /** By rank of volume: these joined late and sent in implants still in place from the `backYears` before. */
  lateJoiners: [
    { rank: 7, joined: '2008-01-01' },
    { rank: 13, joined: '2010-07-01' },
    { rank: 18, joined: '2012-01-01' },
    { rank: 23, joined: '2014-01-01' },
    { rank: 29, joined: '2016-07-01' },
  ],
  backYears: 3,
} as const;

/** The hazard is highest at a surgeon's first use of a design, exp(first), and falls back evenly (in log) over this many uses. */
export const learning = { first: 0.5, uses: 20 } as const;

/** What a screening should find. Hospitals by rank of volume; the surgeon by rank of expected cases among the other hospitals. */
export const planted = {
  components: [
    { role: 'glenoid', model: 'G-FLU-02', ratio: 2.5 },
    { role: 'humeral_stem', model: 'H-SHO-02', ratio: 2.5 },
  ],
  hospitals: [
    { rank: 4, ratio: 2.2 },
    { rank: 11, ratio: 2.2 },
  ],
  surgeon: { rank: 8, ratio: 2.5 },
} as const;

// ---- What is implanted ---------------------------------------------------------------------------------------------------------

/** One way to go, its weight by calendar year, and how the odds of it change with age. */
export interface Option {
  readonly weight: YearCurve;
  readonly perTenYears?: number; // log odds per ten years of age over 70
}

/** Indication and age shape the class; reverse totals grow from few to most, hemiarthroplasties fall. */
export const classes = {
  osteoarthritis: {
    anatomic_total: { weight: [[2005, 0.7], [2012, 0.82], [2024, 0.64]] },
    reverse_total: { weight: [[2005, 0.02], [2012, 0.14], [2024, 0.42]], perTenYears: 0.6 },
    hemi: { weight: [[2005, 0.2], [2015, 0.03], [2024, 0.01]], perTenYears: -0.1 },
    resurfacing: { weight: [[2005, 0.08], [2010, 0.05], [2016, 0]], perTenYears: -0.5 },
  },
  cuff_arthropathy: {
    anatomic_total: { weight: [[2005, 0.1], [2012, 0.02]] },
    reverse_total: { weight: [[2005, 0.5], [2010, 0.85], [2024, 0.98]], perTenYears: 0.3 },
    hemi: { weight: [[2005, 0.45], [2012, 0.12], [2024, 0.01]] },
  },
  acute_fracture: {
    anatomic_total: { weight: [[2005, 0.02]] },
    reverse_total: { weight: [[2005, 0.08], [2012, 0.5], [2024, 0.95]], perTenYears: 0.5 },
    hemi: { weight: [[2005, 0.92], [2012, 0.58], [2024, 0.08]] },
  },
  tumour: {
    reverse_total: { weight: [[2005, 0.1], [2024, 0.8]] },
    hemi: { weight: [[2005, 0.9], [2024, 0.2]] },
  },
  /** Every other indication. */
  other: {
    anatomic_total: { weight: [[2005, 0.5], [2024, 0.35]], perTenYears: -0.2 },
    reverse_total: { weight: [[2005, 0.08], [2012, 0.3], [2024, 0.6]], perTenYears: 0.4 },
    hemi: { weight: [[2005, 0.37], [2015, 0.12], [2024, 0.05]] },
    resurfacing: { weight: [[2005, 0.08], [2016, 0]], perTenYears: -0.5 },
  },
} as const satisfies Record<string, Record<string, Option>>;

/** Glenoid components of anatomic totals: keeled early and in the old, pegged later, fluted pegs from 2010. */
export const glenoidDesigns = {
  all_poly_keeled: { weight: [[2005, 0.62], [2010, 0.4], [2016, 0.14], [2024, 0.05]], perTenYears: 0.4 },
  all_poly_pegged: { weight: [[2005, 0.25], [2010, 0.47], [2016, 0.46], [2024, 0.42]] },
  all_poly_fluted_peg: { weight: [[2010, 0], [2013, 0.2], [2024, 0.49]], perTenYears: -0.1 },
  metal_backed: { weight: [[2005, 0.15], [2010, 0.13], [2016, 0.07], [2024, 0.035]], perTenYears: -0.25 },
} as const satisfies Record<string, Option>;

/** Humeral components: short stems from 2010, stemless from 2012 and for the young. */
export const stemDesigns = {
  anatomic_total: {
    standard_stem: { weight: [[2005, 0.97], [2010, 0.93], [2024, 0.24]], perTenYears: 0.3 },
    short_stem: { weight: [[2010, 0], [2016, 0.3], [2024, 0.36]] },
    stemless: { weight: [[2012, 0], [2018, 0.28], [2024, 0.4]], perTenYears: -0.5 },
    long_stem: { weight: [[2005, 0.02]] },
  },
  reverse_total: {
    standard_stem: { weight: [[2005, 0.96], [2012, 0.85], [2024, 0.4]], perTenYears: 0.2 },
    short_stem: { weight: [[2010, 0], [2024, 0.5]] },
    stemless: { weight: [[2016, 0], [2024, 0.06]], perTenYears: -0.5 },
    long_stem: { weight: [[2005, 0.04]] },
  },
  hemi: {
    standard_stem: { weight: [[2005, 0.95], [2024, 0.4]], perTenYears: 0.2 },
    short_stem: { weight: [[2010, 0], [2024, 0.25]] },
    stemless: { weight: [[2012, 0], [2024, 0.35]], perTenYears: -0.5 },
    long_stem: { weight: [[2005, 0.03]] },
  },
  /** Acute fractures, whatever the class. */
  acute_fracture: {
    standard_stem: { weight: [[2005, 0.6], [2024, 0.25]] },
    fracture_stem: { weight: [[2005, 0.35], [2024, 0.7]] },
    long_stem: { weight: [[2005, 0.05]] },
  },
} as const satisfies Record<string, Record<string, Option>>;

/** Chance of a cemented humeral component at 70, by year; the log odds rise with age. Fixation itself changes no hazard. */
export const cementedStem = {
  standard_stem: [[2005, 0.45], [2024, 0.22]],
  short_stem: [[2010, 0.05]],
  stemless: [[2012, 0]],
  long_stem: [[2005, 0.6], [2024, 0.45]],
  fracture_stem: [[2005, 0.75], [2024, 0.5]],
} as const satisfies Record<string, YearCurve>;
export const cementedPerTenYears = 0.5;

/** A fluted central peg is pressed into bone and its outer pegs are cemented; the rest cement the whole component. */
export const flutedPegHybrid = 0.88;

export const otherChoices = {
  lateralisedGlenosphere: [[2010, 0], [2024, 0.45]] as YearCurve,
  constrainedInsert: 0.07,
  deltopectoral: [[2005, 0.86], [2024, 0.93]] as YearCurve,
  posteriorHip: 0.6,
  cementedHipStem: 0.4,
  patella: 0.3,
  posteriorStabilised: 0.35,
  mobileBearing: 0.2,
} as const;

/** A hospital's main maker supplies most of its implants, a second one most of the rest. */
export const makerLoyalty = { main: 0.72, second: 0.2 } as const;

// ---- Follow-up visits ----------------------------------------------------------------------------------------------------------

/** One hospital in three sees its anatomic and reverse totals again, from 2013 on. */
export const visits = {
  from: '2013-01-01',
  everyHospital: 3,
  /** Day of the planned visit, its usual spread in days, the share missed, and how a typical patient is doing. */
  plan: [
    { visit: '3m', day: 91, spread: 14, missed: 0.08, flexion: 110, pain: 3.4, score: 55, adapted: 0 },
    { visit: '1y', day: 365, spread: 40, missed: 0.12, flexion: 138, pain: 1.7, score: 75, adapted: 0.2 },
    { visit: '2y', day: 731, spread: 60, missed: 0.17, flexion: 143, pain: 1.4, score: 79, adapted: 0.38 },
    { visit: '5y', day: 1826, spread: 90, missed: 0.28, flexion: 140, pain: 1.4, score: 78, adapted: 0.68 },
    { visit: '10y', day: 3653, spread: 120, missed: 0.42, flexion: 132, pain: 1.8, score: 73, adapted: 0.85 },
  ],
  /** Bone adaptation by then: `adapted` of those with a long stem, this part of it with another. */
  adaptedPart: { long_stem: 1, standard_stem: 1, fracture_stem: 1, short_stem: 0.62, stemless: 0.35 },
  /** Radiolucency on a normal scale (sd 1 between patients), cut into grades 1 to 4; keeled components turn for the worse after 5 years. */
  radiolucency: {
    all_poly_keeled: { start: -1.2, perYear: 0.1, lateYear: 0.2 },
    all_poly_pegged: { start: -1.5, perYear: 0.1, lateYear: 0.05 },
    all_poly_fluted_peg: { start: -1.8, perYear: 0.08 },
    metal_backed: { start: -1, perYear: 0.16 },
  },
  radiolucencyCuts: [0, 0.9, 1.6, 2.3],
  loosenerShift: 1, // those who are later revised for glenoid loosening show more
  /** Repair of the subscapularis after an anatomic total, by ultrasound at one year. */
  tendon: { torn: 0.03, attenuated: 0.05, attenuatedMm: [2, 3], intactMm: { mean: 4.6, sd: 0.6 } },
} as const;

/** What else is seen at those visits, and the visit before the procedure. */
export const visitDetails = {
  instrument: 'TS-100', // of the score; invented
  before: {
    missed: 0.1, longestWaitDays: 90, pain: 6.8,
    anatomic: { flexion: 95, externalRotation: 15, score: 36 }, reverse: { flexion: 72, externalRotation: 12, score: 30 },
  },
  /** Position of the prosthetic head after an anatomic total: over 3 mm from the ideal in 31 % with a stem and in 65 % without. */
  headOffset: { medianMm: { stemmed: 2.34, stemless: 3.64 }, sdLog: 0.5 },
  seating: { complete: 0.72, most: 0.22 },
  canalFill: { upper: { short_stem: 70, other: 62 }, lower: { short_stem: 60, other: 72 }, sd: 8, adapting: 8 }, // percent
  zonesRead: 0.85, // share of the radiographs of which every zone was read
  /** Where there is bone adaptation by ten years: chance of each sign in the zones in their order. */
  zones: {
    thinning: [0.5, 0.25, 0.08, 0.03, 0.08, 0.2, 0.6],
    osteopenia: [0.3, 0.12, 0.04, 0.02, 0.04, 0.12, 0.45],
    spot_weld: [0.06, 0.2, 0.18, 0.05, 0.18, 0.2, 0.06],
    condensation: [0.03, 0.08, 0.18, 0.35, 0.16, 0.08, 0.04],
    stem_lucency: [0.07, 0.04, 0.03, 0.05, 0.03, 0.04, 0.06], // whether it adapts or not
  },
  markedPart: 0.3, // of the zones with a sign
  pegOsteolysis: { part: 0.02, whole: 0.005 }, // a year
  secondReader: { share: 0.1, lower: 0.12, higher: 0.1 },
  weakTests: { intact: 0.06, attenuated: 0.35, torn: 0.85, reverse: 0.4 },
} as const;

// ---- The files -----------------------------------------------------------------------------------------------------------------

/** Share of re-operations without the key of the primary: to be linked by patient, joint and side. */
export const unlinkedRevisions = 0.03;

/** Device identifiers are recorded from this year. Those of the scenario are made from the model code and belong to nobody. */
export const udiFrom = 2018;
