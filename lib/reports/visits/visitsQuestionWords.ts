import { measureOf } from '../../contract/measures';
import { revisionQuestion, type VisitsQuestion } from '../../contract/visitsQuestion';
import { windowOf } from '../../contract/visitWindows';
import { clusterLabels, inSentence, questionWords, type QuestionWords } from '../questionWords';
import { formatConfidence, formatDecimal, formatList, formatSpan } from '../format';

/** The parts of the question that read as a sentence and can be edited one by one. */
export interface VisitsQuestionWords extends QuestionWords {
  readonly measures: string;
  readonly visits: string;
}

export function visitsQuestionWords(question: VisitsQuestion, groupLabel: (key: string) => string): VisitsQuestionWords {
  const { measures, windows } = question;
  return {
    ...questionWords(revisionQuestion(question), groupLabel),
    measures: measures.length === 0 ? 'everything that is recorded' : measures.length > 3 ? `${measures.length} chosen measures` : formatList(measures.map((name) => inSentence(measureOf(name)?.label ?? name))),
    visits: windows.length === 0 ? 'every visit' : formatList(windows.map((code) => inSentence(windowOf(code).label))),
  };
}

/** The whole question as one sentence, for the head of a file. */
export function visitsQuestionSentence(question: VisitsQuestion, groupLabel: (key: string) => string): string {
  const w = visitsQuestionWords(question, groupLabel);
  return `Among ${w.classes} replacements of the ${w.joint} for ${w.indications}, in ${w.patients}, operated in ${w.years}, with ${w.implants}: how do ${w.compare} compare (${w.groups}) in ${w.measures} at ${w.visits}, `
    + `adjusted for ${w.adjust}, and which signs go with later revision ${w.outcome}, within ${w.horizon}?`;
}

/** What was asked beyond the sentence. */
export function visitsSettings({ confidence, cluster, landmarkYears, headOffsetOverMm, instrument, importantDifference: important }: VisitsQuestion): string {
  return [
    `confidence ${formatConfidence(confidence)}`,
    `clusters: ${clusterLabels[cluster]}`,
    `landmarks at ${formatList(landmarkYears.map(formatSpan))}`,
    `a head over ${formatDecimal(headOffsetOverMm)} mm from the ideal is out of place`,
    instrument === null ? 'score totals of the one instrument that there is' : `score totals of ${instrument} only`,
    ...(important === null ? [] : [`important difference ${formatDecimal(important.value)} (${important.instrument}; anchor: ${important.anchor}; population: ${important.population}; source: ${important.source})`]),
  ].join('; ');
}
