import type { UnitsQuestion } from '../../contract/unitsQuestion';
import type { Funnel } from '../funnel/funnel';
import type { UnitReference } from './unitReference';

const percent = (share: number): string => `${Number((100 * share).toFixed(2))} %`;

/** How the numbers of units were made. `reference`: against whom, as a sentence. */
export const unitMethods = (question: UnitsQuestion, adjustedFor: readonly string[], reference: string): readonly string[] => [
  'A procedure counts for the hospital that implanted and the surgeon of record, wherever it was revised.',
  `${reference} Expected revisions: the cumulative hazard of a Cox model of the reference (ties by Breslow's rule${adjustedFor.length === 0
    ? ', nothing adjusted for'
    : `, adjusted for ${adjustedFor.join(', ').toLowerCase()}`}), added up over each procedure's own follow-up (Berry 1983, Biometrics 39:173; Keiding 1987, Int Stat Rev 55:1). `
    + 'Late entry is respected; procedures without one of the covariates are left out and counted.',
  `Ratio of observed to expected with exact Poisson limits at ${percent(question.confidence)} (Garwood 1936, Biometrika 28:437); the expected number is taken as known. `
    + 'Each ratio is weighted by its own case mix, so ratios of two units are not comparable with each other.',
  `Funnel limits: exact for chance alone; widened ${question.widening === 'additive' ? 'by a variance between units (additive random effects)' : 'by a factor on the variance'} `
    + 'on the scale of √(observed/expected), estimated after drawing in the outermost tenth of either side (Spiegelhalter 2005, Stat Med 24:1185).',
  'Shrunken ratios: a gamma distribution of the true ratios, fitted by maximum likelihood (Clayton & Kaldor 1987, Biometrics 43:671); '
    + 'places by drawing from the posteriors with a fixed seed (Goldstein & Spiegelhalter 1996, J R Stat Soc A 159:385).',
  `A unit is asked about with at least ${question.minimumExpected} expected revisions, a ratio of at least ${question.minimumRatio} and a place above the upper widened limit at `
    + `${percent(question.alarmLevel)}. By chance alone ${percent((1 - question.alarmLevel) / 2)} of the units would lie above that limit.`,
];

/** What a reader must know of these lines. */
export const unitNotes = ({ notes }: UnitReference, { overdispersion }: Funnel): readonly string[] => [
  ...notes.map((note) => `In the reference: ${note}.`),
  ...(overdispersion.status === 'ok' ? [] : [`How much units differ beyond chance is not known (${overdispersion.reason}): the limits allow for chance alone.`]),
];
