import type { AskedCohort } from './askedCohort';

/** The same cohort with patterns that tell apart no more than its groups, adjustments and strata: fewer cells and rows of the design. */
export function coarserPatterns<T extends Pick<AskedCohort, 'cohort' | 'adjustments' | 'strata'>>(asked: T): T {
  const { cohort, adjustments, strata } = asked, factors = [cohort.groupOfPattern, ...adjustments.map((a) => a.codes), ...strata.map((s) => s.codes)];
  const numbers = new Map<string, number>(), first: number[] = []; // per new pattern, an old one
  const numberOf = Int32Array.from(cohort.groupOfPattern.keys(), (old) => {
    const combination = factors.map((codes) => codes[old]).join(',');
    const number = numbers.get(combination) ?? first.length;
    if (number === first.length) {
      numbers.set(combination, number);
      first.push(old);
    }
    return number;
  });
  const renumbered = (codes: Int32Array) => Int32Array.from(first, (old) => codes[old]!);
  return {
    ...asked,
    cohort: { ...cohort, pattern: cohort.pattern.map((old) => numberOf[old]!), groupOfPattern: renumbered(cohort.groupOfPattern) },
    adjustments: adjustments.map((a) => ({ ...a, codes: renumbered(a.codes) })),
    strata: strata.map((s) => ({ ...s, codes: renumbered(s.codes) })),
  };
}
