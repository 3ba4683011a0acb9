/** What a component must meet to be assessed and to be flagged. All can be changed, and are to be kept with each run. */
export interface ScreeningSettings {
  /** Which look at the accumulating data this is, from 1. The share of false flags is held within a look only: further looks add to it. */
  readonly look: number;
  /** A component is assessed from this many procedures at risk so many days after surgery … */
  readonly minimumAtRisk: number;
  readonly atRiskDays: number;
  /** … and from this many revisions expected, were it like all of its kind. */
  readonly minimumExpected: number;
  /** A flag needs a rate of at least this multiple of all others' of its kind … */
  readonly minimumRatio: number;
  /** … a lower limit of the shrunken ratio, at this confidence, above 1 … */
  readonly confidence: number;
  /** … and a mid-P value that stands with this expected share of false flags, 0–1, over all assessed. Benjamini & Hochberg 1995, J R Stat Soc B 57:289. */
  readonly falseDiscoveryRate: number;
  /** `conditional` allows for chance in the others' revisions too; `poisson` takes their rate as known. */
  readonly test: 'conditional' | 'poisson';
}

/** The project's own choices, to be set by those who decide. */
export const usualScreening: ScreeningSettings = {
  look: 1, minimumAtRisk: 50, atRiskDays: 731, minimumExpected: 1, minimumRatio: 1.5, confidence: 0.95, falseDiscoveryRate: 0.05, test: 'conditional',
};
