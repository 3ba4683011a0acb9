import type { ChapterName } from '../../analysis/chapters';
import type { Analysis } from '../../analysis/result';

/** A part of the answer in the place where a reader looks for it, with the chapters that fill it. */
export interface Section {
  readonly id: string; // of its place on the page
  readonly heading: string;
  readonly chapters: readonly ChapterName[];
}

/** What competes with revision is told where the curves and the ratios are, not in a section of its own. */
export const besideCurves: ChapterName = 'competingRisks';
/** Filled by the main answer. */
export const whoGotWhat: Section = { id: 'who-got-what', heading: 'Who got what', chapters: [] };

const difference: Section = { id: 'difference', heading: 'How large the difference is', chapters: ['difference'] };
const sameCaseMix: Section = { id: 'same-case-mix', heading: 'With the same case mix', chapters: ['sameCaseMix'] };
const overTime: Section = { id: 'ratio-over-time', heading: 'Does the ratio change with time', chapters: ['ratioOverTime'] };
const further: readonly Section[] = [
  { id: 'alternatives', heading: 'What would change the answer', chapters: ['sensitivity', 'clustering', 'missingData'] },
  { id: 'subgroups', heading: 'For whom', chapters: ['subgroups'] },
  { id: 'precision', heading: 'What could be seen', chapters: ['precision'] },
];

/** The sections of an answer in reading order. Where one ratio for all time would mislead, how it changes comes first. */
export function sectionsOf({ groups, adjusted }: Analysis): readonly Section[] {
  if (groups.length < 2) return [difference, whoGotWhat];
  const changes = adjusted.status === 'ok' && !adjusted.groupsProportional;
  return changes
    ? [overTime, difference, whoGotWhat, sameCaseMix, ...further]
    : [difference, whoGotWhat, sameCaseMix, overTime, ...further];
}

/** The chapters of an answer in reading order. */
export const readingOrder = (sections: readonly Section[]): readonly ChapterName[] => [besideCurves, ...sections.flatMap(({ chapters }) => chapters)];
