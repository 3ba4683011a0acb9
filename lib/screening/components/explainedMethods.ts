import { limits } from '../../analysis/chapters/basis';
import { componentLabel } from '../../cohort/labels';
import type { Partners } from './explainedResult';

export const explainedMethods = (adjustedFor: readonly string[], confidence: number): readonly string[] => [
  `Expected revisions: the hazard of all others of its kind, ${adjustedFor.length === 0 ? 'not adjusted' : `adjusted for ${adjustedFor.join(', ')} (Cox 1972, Breslow’s rule for ties)`}, over the follow-up of each procedure with the model (Berry 1983); not used beyond where the others’ own curve stops`,
  `Observed to expected: exact Poisson ${limits(confidence)} (Ulm 1990); the expected number is taken as known`,
  'Expected revisions by reason: each day’s step of the hazard shared out as the others’ revisions of that day were (Kalbfleisch and Prentice 2002)',
];

/** What a reader must know of the pairs. */
export const explainedNotes = (partners: readonly Partners[]): readonly string[] => partners.flatMap(({ role, driver, flagged }) =>
  driver.levels.filter(({ key }) => flagged.includes(key)).map(({ label }) => `The ${componentLabel(role)} ${label}, which it was used with, is flagged itself: look at each without the other.`));
