import type { UnitsQuestion } from '../../contract/unitsQuestion';
import type { NotEstimable } from '../../stats/cells';
import { funnel, type Funnel } from '../funnel/funnel';
import type { Counted } from '../funnel/overdispersion';
import { gammaPoisson, type RatioSpread } from '../shrinkage/gammaPoisson';
import { rankUncertainty } from '../shrinkage/rankUncertainty';
import { shrunkenRatio } from '../shrinkage/shrunkenRatio';
import type { UnitRatioLine } from './unitCounts';
import { unitFlag } from './unitFlags';
import type { UnitLine } from './unitsResult';

export interface UnitLines { readonly lines: readonly UnitLine[]; readonly funnel: Funnel; readonly spread: RatioSpread | NotEstimable }

const usualLevels = [0.95, 0.998];
const rankSeed = 20_050; // fixed, so that the same question has the same answer

/** Units beside each other: where they lie in the funnel, drawn towards their mean, and which of them to ask about. `places`: among all, by simulation. */
export function unitLines(
  units: readonly UnitRatioLine[], question: UnitsQuestion, { places: withPlaces }: { readonly places: boolean } = { places: true },
): UnitLines {
  const { confidence, alarmLevel, widening, minimumRatio } = question;
  const counted = units.map(({ standardised }): Counted | null => (standardised.status === 'ok' ? standardised : null));
  const known = counted.filter((unit) => unit !== null);
  const levels = [...new Set([...usualLevels, alarmLevel])];
  const places = funnel(counted.map((unit) => unit ?? { observed: 0, expected: 0 }), { levels, widening });
  const overdispersion = places.overdispersion.status === 'ok' ? places.overdispersion : null;
  const spread = gammaPoisson(known, confidence);
  const ranks = withPlaces && rankUncertainty(spread, known, { seed: rankSeed, confidence });
  let next = 0; // among the units that have a ratio
  const lines = units.map((unit, u): UnitLine => {
    const { standardised } = unit;
    if (standardised.status !== 'ok') return { ...unit, shrunken: standardised, rank: null, ...unitFlag(null, standardised.reason, overdispersion, question) };
    const rank = Array.isArray(ranks) ? ranks[next++]! : null;
    const shrunken = shrunkenRatio(spread, standardised, { confidence, threshold: minimumRatio });
    return { ...unit, shrunken, rank, ...unitFlag(counted[u]!, null, overdispersion, question) };
  });
  return { lines, funnel: places, spread };
}
