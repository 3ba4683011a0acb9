import type { UnitsQuestion } from '../../contract/unitsQuestion';
import type { Source } from '../../engine/loadedExtract';
import type { Provenance } from '../csv';
import { sourceEntry } from '../provenance';
import { guardedCount } from '../smallCounts';
import { benchmarkWords, unitNouns, unitsQuestionSentence, unitsSettings } from './unitsQuestionWords';
import type { UnitsView } from './unitsView';

interface Made {
  readonly question: UnitsQuestion;
  readonly source: Source;
  readonly methods: readonly string[];
}

/** What a file says about itself. It names no unit. */
export const unitsProvenance = ({ question, source, methods }: Made, rests: string, { benchmarkSet }: UnitsView): Provenance => [
  { label: 'Question', text: unitsQuestionSentence(question) },
  { label: 'Cohort', text: rests },
  { label: 'Settings', text: unitsSettings(question) },
  ...(question.benchmark === null ? [] : [{ label: 'Benchmark', text: `${benchmarkWords(question.benchmark)}${benchmarkSet === null ? '' : `; ${benchmarkSet}`}` }]),
  sourceEntry(source),
  ...methods.map((text) => ({ label: 'Method', text })),
];

export const allRests = (procedures: number, observed: number, units: number, kind: UnitsQuestion['kind']): string =>
  `${guardedCount(procedures)} procedures of ${units} ${unitNouns[kind].several}, ${guardedCount(observed)} revised`;
