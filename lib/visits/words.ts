import type { VisitsQuestion } from '../contract/visitsQuestion';

const clusters = { none: 'each procedure by itself', patient: 'by patient', hospital: 'by hospital', surgeon: 'by surgeon' } as const;

export const visitMethods = ({ cluster, confidence }: VisitsQuestion): readonly string[] => [
  `Limits at ${Number((100 * confidence).toFixed(4))} %`,
  'Shares of those assessed: Wilson 1927, J Am Stat Assoc 22:209; with patients of both sides, the number divided by the design effect (Rao & Scott 1992, Biometrics 48:577)',
  'Differences of shares: Newcombe 1998, Stat Med 17:873, method 10; with patients of both sides, the same from the divided numbers',
  `Grades: proportional-odds model (McCullagh 1980, J R Stat Soc B 42:109), robust limits ${clusters[cluster]}; test of proportional odds as Brant 1990, Biometrics 46:1171`,
  'Chance of a higher grade: DeLong 1988, Biometrics 44:837, limits on the logit scale',
  `Amounts: least squares adjusted for the value before the procedure where there is one, robust limits ${clusters[cluster]}`,
  'All visits together: generalised estimating equations, exchangeable within a patient (Liang & Zeger 1986, Biometrika 73:13)',
  'Time to a first sign: Turnbull 1976, J R Stat Soc B 38:290; limits from the information of the masses above 0, by patient, on the log(−log) scale',
  `Later revision: Cox model, ties by Efron, robust limits ${clusters[cluster]}; landmark analysis (Anderson, Cain & Gelber 1983, J Clin Oncol 1:710) and the sign as a covariate that changes`,
  'Two readers: weighted κ with squared distances (Cohen 1968, Psychol Bull 70:213)',
];

/** What a reader must know before using any of it. */
export const visitCautions: readonly string[] = [
  'Those who come to a visit differ from those who do not. The denominators are those assessed; the bounds say what those not assessed could change. Who is due for a visit counts as not assessed of a measure that is not taken of some classes at all: ask of one class for narrower bounds.',
  'An association is not proof: design follows indication, anatomy and the surgeon’s choice.',
  'A sign on a radiograph is not a failure, and a good score is not a lasting implant.',
  'A sign can only be seen in somebody who lived and kept the implant until the visit. Comparing all who ever had it with all who never had it would credit that time to the sign (immortal time); here a sign counts only from the day on which it was seen, and at a landmark only those still followed are compared.',
  'Many signs at many visits are compared: some will differ by chance alone. p-values and limits stand for one comparison fixed beforehand.',
  'A difference that patients notice belongs to an instrument, an anchor and a population; none is built in.',
];
