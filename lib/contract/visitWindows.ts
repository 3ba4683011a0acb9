/**
 * A planned visit. Days since the procedure: the planned one, and the first and last on which a visit counts as this one. The bounds meet
 * halfway (in proportion) between neighbours, so that every day after the operation belongs to one window; common practice, no source.
 */
export interface VisitWindow {
  readonly code: string;
  readonly label: string;
  readonly short: string; // under an axis
  readonly day: number;
  readonly from: number;
  readonly to: number;
}

/** In their order. The visit before the procedure is the baseline that changes are taken from. */
export const visitWindows = [
  { code: 'before', label: 'Before the procedure', short: 'Before', day: 0, from: -365, to: 0 },
  { code: '6w', label: '6 weeks', short: '6 wk', day: 42, from: 14, to: 63 },
  { code: '3m', label: '3 months', short: '3 mo', day: 91, from: 64, to: 135 },
  { code: '6m', label: '6 months', short: '6 mo', day: 183, from: 136, to: 272 },
  { code: '1y', label: '1 year', short: '1 y', day: 365, from: 273, to: 547 },
  { code: '2y', label: '2 years', short: '2 y', day: 731, from: 548, to: 1277 },
  { code: '5y', label: '5 years', short: '5 y', day: 1826, from: 1278, to: 2738 },
  { code: '10y', label: '10 years', short: '10 y', day: 3653, from: 2739, to: 4748 },
] as const satisfies readonly VisitWindow[];
export type VisitWindowCode = (typeof visitWindows)[number]['code'];

/** The one window that does not follow the procedure. */
export const baselineWindow = 'before' satisfies VisitWindowCode;

export const windowOf = (code: VisitWindowCode): VisitWindow => visitWindows.find((w) => w.code === code)!;
