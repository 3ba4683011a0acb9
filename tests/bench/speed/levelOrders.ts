import type { AskedCohort } from '../../../lib/analysis/askedCohort';
import type { Model } from '../../../lib/analysis/model';

/** Codes of the levels of each term, the reference first, then in the order of the columns. */
export function levelOrders({ groups, adjustments, reference }: AskedCohort, { terms }: Model): readonly (readonly number[])[] {
  return terms.map(({ term, columns, against }) => {
    const adjustment = adjustments.find(({ covariate }) => covariate === term);
    const levels = adjustment === undefined
      ? groups.map(({ code, key }) => ({ code, key, isReference: key === reference }))
      : [...new Set(adjustment.codes)].filter((code) => code >= 0).map((code) => {
        const { key, label } = adjustment.coding.level(code);
        return { code, key, isReference: label === against };
      });
    const codeOf = (level: string | null): number => levels.find(({ key }) => key === level)!.code;
    return [levels.find(({ isReference }) => isReference)!.code, ...columns.map(({ level }) => codeOf(level))];
  });
}
