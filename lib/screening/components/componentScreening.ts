import { benjaminiHochberg } from '../../stats/benjaminiHochberg';
import type { NotEstimable } from '../../stats/cells';
import { gammaPoisson, type RatioSpread } from '../shrinkage/gammaPoisson';
import { shrunkenRatio, type ShrunkenRatio } from '../shrinkage/shrunkenRatio';
import { poissonTails, type TailP } from '../standardisation/midP';
import { standardisedRatio } from '../standardisation/standardisedRatio';
import { higherRateP, rateRatio, type RateRatio, type Revised } from './rateRatio';
import type { ScreeningSettings } from './screeningSettings';

/** One model and what it did. */
export interface ComponentCounts extends Revised {
  readonly key: string;
  /** Components of one kind are each other's comparators. */
  readonly kind: string;
  readonly procedures: number;
  /** At the time that the settings name. */
  readonly atRisk: number;
  /** Earlier looks at which it was flagged. */
  readonly flaggedAtLooks: readonly number[];
  /** It is none of the others that components of its kind are held against. */
  readonly apart?: boolean;
}

/** One condition: `value` against `bound`. Not applied: it could not be had, for the reason given, and the others decide. */
export interface Criterion {
  readonly name: 'others' | 'atRisk' | 'expected' | 'ratio' | 'shrunkenLower' | 'adjustedP';
  readonly status: 'met' | 'notMet' | 'notApplied';
  readonly value: number; // NaN where it could not be had
  readonly bound: number;
  readonly reason: string | null;
}

export interface ScreenedComponent extends ComponentCounts {
  /** All others of its kind together. */
  readonly others: Revised;
  /** Revisions expected, were it like all of its kind, itself included and those apart left out. */
  readonly expected: number;
  /** Of its rate to the others'. */
  readonly ratio: RateRatio | NotEstimable;
  readonly shrunken: ShrunkenRatio | NotEstimable;
  /** One-sided: a higher rate than the others'. Null: not assessed. */
  readonly p: (TailP & { readonly adjusted: number }) | null;
  readonly criteria: readonly Criterion[];
  /** A flag is a question, no verdict. A component that is not flagged now may yet be carried forward from an earlier look. */
  readonly status: 'flagged' | 'passed' | 'notAssessed';
}

export interface ComponentScreening {
  readonly settings: ScreeningSettings;
  /** Every component that was given, in its order. */
  readonly components: readonly ScreenedComponent[];
  /** Over which error is controlled. */
  readonly assessed: number;
  readonly spread: RatioSpread | NotEstimable;
}

/**
 * The first stage of screening: each component's rate of revision against that of all others of its kind. Nothing is adjusted for, so that
 * a flag leads to adjusted analysis and to a look for other explanations. Stages as in de Steiger et al. 2013, Acta Orthop 84:348; the conditions
 * and their bounds are the project's own.
 */
export function componentScreening(counts: readonly ComponentCounts[], settings: ScreeningSettings): ComponentScreening {
  const rated = counts.map((component) => withOthers(component, counts, settings));
  const spread = gammaPoisson(rated.flatMap(({ eligible, against }) => (eligible && against.expected > 0 ? [against] : [])));
  const tested = rated.map(({ eligible, component, others, against }) => (eligible ? testOf(component, others, against.expected, settings) : null));
  const adjusted = benjaminiHochberg(tested.map((p) => p?.midP ?? NaN));
  const components = rated.map(({ component, others, expected, against, entry, eligible }, i): ScreenedComponent => {
    const ratio = ratioOf(component, others, against.expected, settings), p = tested[i];
    const shrunken: ShrunkenRatio | NotEstimable = against.expected > 0 ? shrunkenRatio(spread, against, settings) : { status: 'notEstimable', reason: 'no revisions among the others' };
    if (!eligible || !p) return { ...component, others, expected, ratio, shrunken, p: null, criteria: entry, status: 'notAssessed' };
    const criteria = [
      ...entry,
      bounded('ratio', others.observed === 0 && component.observed > 0 ? Infinity : ratio.status === 'ok' ? ratio.ratio : 0, settings.minimumRatio),
      shrunken.status === 'ok' ? criterion('shrunkenLower', shrunken.lower, 1, shrunken.lower > 1)
        : { name: 'shrunkenLower' as const, status: 'notApplied' as const, value: NaN, bound: 1, reason: shrunken.reason },
      criterion('adjustedP', adjusted[i]!, settings.falseDiscoveryRate, adjusted[i]! <= settings.falseDiscoveryRate),
    ];
    const flagged = criteria.every(({ status }) => status !== 'notMet');
    return { ...component, others, expected, ratio, shrunken, p: { ...p, adjusted: adjusted[i]! }, criteria, status: flagged ? 'flagged' : 'passed' };
  });
  return { settings, components, assessed: tested.filter((p) => p !== null).length, spread };
}

const criterion = (name: Criterion['name'], value: number, bound: number, met: boolean): Criterion => ({ name, status: met ? 'met' : 'notMet', value, bound, reason: null });
const bounded = (name: Criterion['name'], value: number, bound: number): Criterion => criterion(name, value, bound, value >= bound);

function withOthers(component: ComponentCounts, all: readonly ComponentCounts[], { minimumAtRisk, minimumExpected }: ScreeningSettings) {
  let observed = 0, exposure = 0;
  for (const other of all) {
    if (other === component || other.kind !== component.kind || other.apart === true) continue;
    observed += other.observed;
    exposure += other.exposure;
  }
  const everyone = exposure + component.exposure;
  const expected = everyone > 0 ? ((observed + component.observed) * component.exposure) / everyone : 0;
  const entry = [
    criterion('others', exposure, 0, exposure > 0),
    bounded('atRisk', component.atRisk, minimumAtRisk),
    bounded('expected', expected, minimumExpected),
  ];
  return {
    component, expected, entry,
    others: { observed, exposure },
    against: { observed: component.observed, expected: exposure > 0 ? (component.exposure * observed) / exposure : 0 }, // of the others alone
    eligible: entry.every(({ status }) => status === 'met'),
  };
}

/** A rate of none at all is never taken as known. */
const isConditional = ({ test }: ScreeningSettings, others: Revised): boolean => test === 'conditional' || others.observed === 0;

const testOf = (component: ComponentCounts, others: Revised, expected: number, settings: ScreeningSettings): TailP =>
  (isConditional(settings, others) ? higherRateP(component, others) : poissonTails(component.observed, expected).higher);

function ratioOf(component: ComponentCounts, others: Revised, expected: number, settings: ScreeningSettings): RateRatio | NotEstimable {
  const { confidence } = settings;
  if (isConditional(settings, others)) return rateRatio(component, others, confidence);
  const found = standardisedRatio(component.observed, expected, confidence);
  return found.status === 'ok' ? { status: 'ok', ratio: found.ratio, lower: found.lower, upper: found.upper } : found;
}
