import type { Reason, ProcedureClass, DesignClass, Indication } from './codes';

// Revision hazards: per 1,000 component-years, by reason and by period since surgery. Orders of magnitude, common practice, no source.

/** Where a period begins, in days: 0, a quarter, half, 1, 2, 5, 7 and 10 years. The last has no end. */
export const periodStarts = [0, 91, 183, 365, 731, 1826, 2557, 3653] as const;

export type ByPeriod = readonly [number, number, number, number, number, number, number, number];
export type Hazards = Partial<Record<Reason, ByPeriod>>;

/**
 * Infection and instability come early; fractures are few and steady; cuff failure peaks in mid-term; loosening of the glenoid
 * component climbs after five years. Anatomic totals: with a pegged all-polyethylene glenoid component and a standard stem.
 * For a woman of 70 with osteoarthritis and a practised, average surgeon and hospital; the average patient's are about half as high again.
 */
export const baseline: Record<Extract<ProcedureClass, 'anatomic_total' | 'reverse_total' | 'hemi' | 'resurfacing' | 'total_hip' | 'total_knee'>, Hazards> = {
  anatomic_total: {
    infection: [2.2, 1.4, 0.72, 0.39, 0.22, 0.17, 0.17, 0.17],
    periprosthetic_fracture: [1.1, 0.44, 0.22, 0.17, 0.22, 0.22, 0.22, 0.28],
    glenoid_loosening: [0.028, 0.055, 0.17, 0.28, 0.39, 0.88, 1.3, 1.8],
    humeral_loosening: [0.028, 0.055, 0.055, 0.083, 0.083, 0.11, 0.17, 0.22],
    lysis: [0, 0, 0, 0.011, 0.028, 0.055, 0.083, 0.11],
    dissociation: [0.055, 0.055, 0.055, 0.055, 0.055, 0.055, 0.055, 0.055],
    instability: [1.9, 1.4, 0.88, 0.39, 0.17, 0.11, 0.11, 0.11],
    cuff_failure: [0.17, 0.33, 0.61, 0.72, 0.83, 0.88, 0.83, 0.72],
    wear: [0.011, 0.011, 0.028, 0.055, 0.11, 0.17, 0.22, 0.33],
    malposition: [0.66, 0.44, 0.22, 0.11, 0.028, 0, 0, 0],
    stiffness: [0.11, 0.33, 0.5, 0.28, 0.055, 0, 0, 0],
    pain: [0.11, 0.28, 0.39, 0.33, 0.17, 0.11, 0.11, 0.11],
    other_reason: [0.22, 0.11, 0.11, 0.083, 0.055, 0.055, 0.055, 0.055],
  },
  reverse_total: {
    infection: [6.1, 3.1, 1.6, 0.75, 0.41, 0.27, 0.27, 0.27],
    periprosthetic_fracture: [2.7, 1.4, 0.68, 0.54, 0.48, 0.48, 0.54, 0.61],
    glenoid_loosening: [0.68, 1.1, 0.82, 0.54, 0.27, 0.24, 0.27, 0.34],
    humeral_loosening: [0.14, 0.2, 0.2, 0.2, 0.2, 0.27, 0.34, 0.41],
    dissociation: [0.41, 0.27, 0.2, 0.17, 0.14, 0.14, 0.14, 0.17],
    instability: [10, 5.4, 2.4, 0.61, 0.27, 0.17, 0.14, 0.14],
    wear: [0, 0, 0, 0.034, 0.068, 0.1, 0.17, 0.27],
    malposition: [0.68, 0.34, 0.2, 0.068, 0.034, 0, 0, 0],
    stiffness: [0.068, 0.14, 0.2, 0.14, 0.034, 0, 0, 0],
    pain: [0.14, 0.27, 0.34, 0.27, 0.14, 0.1, 0.1, 0.1],
    other_reason: [0.34, 0.2, 0.17, 0.14, 0.1, 0.068, 0.068, 0.068],
  },
  hemi: {
    infection: [3.4, 2, 1, 0.54, 0.27, 0.2, 0.2, 0.2],
    periprosthetic_fracture: [1.7, 0.68, 0.48, 0.41, 0.41, 0.41, 0.41, 0.48],
    humeral_loosening: [0.068, 0.14, 0.2, 0.2, 0.2, 0.2, 0.27, 0.34],
    instability: [2.4, 1.7, 1.2, 0.54, 0.2, 0.14, 0.14, 0.14],
    cuff_failure: [0.34, 1, 2, 2.4, 1.5, 1, 0.82, 0.68],
    socket_erosion: [0.14, 1, 2.7, 4.1, 3.1, 2.2, 1.7, 1.4],
    malposition: [1, 0.82, 0.48, 0.2, 0.068, 0, 0, 0],
    stiffness: [0.2, 0.54, 0.82, 0.41, 0.068, 0, 0, 0],
    pain: [0.2, 0.82, 1.7, 1.5, 0.61, 0.27, 0.2, 0.2],
    other_reason: [0.34, 0.2, 0.2, 0.14, 0.1, 0.068, 0.068, 0.068],
  },
  resurfacing: {
    infection: [1.7, 1, 0.54, 0.27, 0.2, 0.14, 0.14, 0.14],
    periprosthetic_fracture: [1, 0.41, 0.2, 0.2, 0.2, 0.2, 0.2, 0.2],
    humeral_loosening: [0.14, 0.27, 0.41, 0.54, 0.54, 0.61, 0.68, 0.68],
    instability: [1.4, 1, 0.68, 0.27, 0.14, 0.068, 0.068, 0.068],
    cuff_failure: [0.27, 0.82, 1.5, 1.6, 1.2, 0.95, 0.82, 0.68],
    socket_erosion: [0.2, 1.4, 3.7, 5.4, 4.1, 2.7, 2, 1.7],
    stiffness: [0.14, 0.41, 0.61, 0.34, 0.068, 0, 0, 0],
    pain: [0.27, 1, 2, 1.9, 0.82, 0.41, 0.27, 0.27],
    other_reason: [0.27, 0.14, 0.14, 0.14, 0.068, 0.068, 0.068, 0.068],
  },
  total_hip: {
    infection: [14, 5, 2.5, 1.2, 0.6, 0.4, 0.4, 0.4],
    periprosthetic_fracture: [9, 1.5, 0.8, 0.7, 0.7, 0.8, 1, 1.2],
    loosening: [1, 1, 1, 0.8, 0.5, 0.6, 0.8, 1.2],
    instability: [12, 4, 2, 1, 0.6, 0.5, 0.5, 0.5],
    wear: [0, 0, 0, 0, 0.05, 0.1, 0.2, 0.4],
    other_reason: [1, 0.6, 0.5, 0.4, 0.3, 0.2, 0.2, 0.2],
  },
  total_knee: {
    infection: [9, 4.5, 3.5, 2, 0.8, 0.4, 0.4, 0.4],
    loosening: [0.3, 0.8, 2, 2.5, 1.2, 0.8, 0.8, 0.9],
    instability: [1, 1.5, 2, 1.5, 0.6, 0.3, 0.3, 0.3],
    stiffness: [0.2, 0.8, 1.2, 0.5, 0.1, 0, 0, 0],
    pain: [0.2, 0.5, 1, 0.9, 0.4, 0.2, 0.2, 0.2],
    other_reason: [0.8, 0.5, 0.5, 0.4, 0.3, 0.2, 0.2, 0.2],
  },
};

/**
 * What a design does to the hazard of a reason, as a ratio by period. Acting through reasons, it makes the ratio of all revisions
 * change with time: small at first, large late for metal-backed components (wear, dissociation and loosening of a thin insert in metal).
 */
export const designRatios: Partial<Record<DesignClass, Hazards>> = {
  all_poly_keeled: {
    glenoid_loosening: [1, 1.2, 1.5, 2, 3, 3.2, 3.2, 3.2],
    lysis: [1, 1, 1, 1.5, 2, 2, 2, 2],
  },
  all_poly_fluted_peg: {
    glenoid_loosening: [0.8, 0.8, 0.8, 0.7, 0.6, 0.6, 0.6, 0.6],
  },
  metal_backed: {
    glenoid_loosening: [1.5, 2, 4, 8, 17, 13, 10, 8],
    lysis: [1, 1, 1, 10, 20, 20, 20, 20],
    dissociation: [10, 20, 40, 90, 160, 160, 150, 150],
    wear: [5, 10, 20, 45, 65, 65, 60, 50],
    cuff_failure: [1, 1.2, 1.4, 1.5, 1.5, 1.5, 1.5, 1.5],
  },
  short_stem: {
    humeral_loosening: [1.3, 1.3, 1.3, 1.3, 1.3, 1.3, 1.3, 1.3],
    periprosthetic_fracture: [0.8, 0.8, 0.8, 0.8, 0.8, 0.8, 0.8, 0.8],
  },
  stemless: {
    humeral_loosening: [1.6, 1.6, 1.6, 1.6, 1.6, 1.6, 1.6, 1.6],
    periprosthetic_fracture: [0.4, 0.4, 0.4, 0.4, 0.4, 0.4, 0.4, 0.4],
  },
  long_stem: {
    infection: [1.5, 1.5, 1.5, 1.5, 1.5, 1.5, 1.5, 1.5],
    humeral_loosening: [1.5, 1.5, 1.5, 1.5, 1.5, 1.5, 1.5, 1.5],
  },
  glenosphere_lateralised: {
    instability: [0.8, 0.8, 0.8, 0.8, 0.8, 0.8, 0.8, 0.8],
    glenoid_loosening: [1.2, 1.2, 1.2, 1.2, 1.2, 1.2, 1.2, 1.2],
  },
};

/** Ratios that act alike on every reason and at every time since surgery. */
export const patientRatios = {
  agePerTenYears: 0.8, // around 70
  men: 1.15,
  indication: {
    osteoarthritis: 1, cuff_arthropathy: 1.15, acute_fracture: 1.25, fracture_sequelae: 1.6, inflammatory_arthritis: 1.1, osteonecrosis: 1.25,
    instability_arthropathy: 1.4, dysplasia: 1.2, tumour: 1.8, other_indication: 1.2,
  } satisfies Record<Indication, number>,
} as const;

/** These act on infection alone: per ASA grade over 2, and per kg/m² over 28 (no less than 1). */
export const infectionRatios = { perAsaGrade: 1.3, perBmiUnit: 1.04 } as const;

/** After a revision the clock of the class's hazards starts again, whatever the design, at this ratio. */
export const rerevisionRatio = 3.5;

/** Re-operations without change of a component: the chance that a procedure has one, and the mean wait in days. */
export const reoperation = { chance: 0.012, meanDays: 300 } as const;
