import type { AskedCohort } from '../analysis/askedCohort';
import { codings } from '../cohort/covariate';
import type { Question, strataFactors } from '../contract/question';
import { cellColumns, type ReducedRegistry } from './reducedRegistry';

type Factor = ReducedRegistry['patterns']['factors'][number];

/**
 * The cohort of a question as a file can hold it: days as recorded, levels by their keys. Competing events end follow-up as censorings do, and
 * clusters are not told.
 */
export function exactCells({ groups, cohort, adjustments, strata }: Pick<AskedCohort, 'groups' | 'cohort' | 'adjustments' | 'strata'>, question: Question): ReducedRegistry {
  const { cells, pattern, groupOfPattern } = cohort, stratifying = [...new Set(question.strata)];
  return {
    groups: groups.map(({ key }) => key),
    patterns: {
      group: Array.from(groupOfPattern),
      factors: [
        ...adjustments.map(({ covariate, coding, codes }) => factorOf('adjust', covariate, codes, (code) => coding.level(code).key)),
        ...strata.map(({ codes }, f) => factorOf('strata', stratifying[f]!, codes, stratumKey(stratifying[f]!))),
      ],
    },
    cells: cellColumns(Array.from(pattern, (p, i) => {
      const entry = cells.entry?.[i] ?? -Infinity, exit = cells.exit[i]!;
      return { pattern: p, entry: entry < 0 ? -1 : entry, after: exit - 1, exit, event: cells.event[i] === 1 ? 1 : 0, count: cells.count[i]! };
    })),
  };
}

/** Regions are told apart within the registry and not named. */
const stratumKey = (factor: (typeof strataFactors)[number]): (code: number) => string => {
  switch (factor) {
    case 'region': case 'hospital': return (code) => `${factor}-${code}`;
    case 'sex': case 'indication': case 'period': case 'class': return (code) => codings[factor].level(code).key;
  }
};

function factorOf(kind: Factor['kind'], name: Factor['name'], codes: Int32Array, keyOf: (code: number) => string): Factor {
  const occurring = [...new Set(codes)].filter((code) => code >= 0).sort((a, b) => a - b);
  return { kind, name, keys: occurring.map(keyOf), level: Array.from(codes, (code) => (code < 0 ? null : occurring.indexOf(code))) };
}
