import type { Verdict } from '../../screening/benchmark/benchmarkVerdict';
import type { UnitAnalysis, UnitBenchmark } from '../../screening/units/unitsResult';
import type { UnitsQuestion } from '../../contract/unitsQuestion';
import { jointCodes, labelOf } from '../../contract/codes';
import { caution, paragraph, type Block } from '../blocks';
import { isEstimate } from '../estimate';
import { formatCount, formatPercent, formatSpan } from '../format';
import { asSentence, finished, percentWords, reasonWords, type Words } from '../phrases';
import { inSentence } from '../questionWords';
import { protectSmallCounts } from '../smallCounts';
import { text, type ProtectedTable } from '../table';
import { count, derived, estimateCells, number, plain, words } from '../tableCells';
import { benchmarkWords } from './unitsQuestionWords';

type Benchmark = NonNullable<UnitsQuestion['benchmark']>;

const verdictWords = ({ percent, margin }: Benchmark): Readonly<Record<Verdict, string>> => {
  const bar = `${formatPercent(percent)}%`, tolerated = `${formatPercent(percent + margin)}%`;
  return {
    superior: `Superior: the whole interval lies below the benchmark of ${bar}`,
    notInferior: `Not inferior within the margin: the whole interval lies below ${tolerated}, and on both sides of the benchmark of ${bar}`,
    inferiorWithinMargin: `Inferior, yet within the margin: the whole interval lies above the benchmark of ${bar} and below ${tolerated}`,
    inferior: `Inferior: the whole interval lies above the benchmark of ${bar}; whether by more than the margin cannot be said yet`,
    inferiorBeyondMargin: `Inferior by more than the margin: the whole interval lies above ${tolerated}`,
    cannotSayYet: `Cannot say yet: the interval holds values on both sides of ${margin > 0 ? `${bar} and of ${tolerated}` : bar}`,
  };
};
const verdictShort: Readonly<Record<Verdict, string>> = {
  superior: 'superior', notInferior: 'not inferior within the margin', inferiorWithinMargin: 'inferior, within the margin', inferior: 'inferior',
  inferiorBeyondMargin: 'inferior by more than the margin', cannotSayYet: 'cannot say yet',
};

/** What must be known of every benchmark. */
const standingCaution = caution('A published benchmark of 5% at 10 years was set for hips (NICE technology appraisal 304, 2014) and does not carry over to another joint; no such figure is known for shoulders. A bar belongs to its joint, its time and its source, and must be set before the result is seen.');

const jointName = (joint: Benchmark['joint']): string => inSentence(labelOf(jointCodes, joint));

export function benchmarkBlocks({ question, benchmark: found, unit }: UnitAnalysis, benchmarkSet: string | null): readonly Block[] {
  const { benchmark: bar, cohort } = question;
  if (bar === null || found === null) return [standingCaution];
  const said = { text: `The benchmark: ${benchmarkWords(bar)}.`, basis: [] }, when = benchmarkSet === null ? [] : [{ text: `It was ${benchmarkSet}.`, basis: [] }];
  if (bar.joint !== cohort.joint) {
    return [
      ...paragraph(finished([said, ...when, { text: `It was set for the ${jointName(bar.joint)} and the question is about the ${jointName(cohort.joint)}, so there is no verdict.`, basis: [] }])), standingCaution,
    ];
  }
  return [
    ...paragraph(finished([said, ...when])),
    ...paragraph(finished(foundWords(bar, found, question))),
    { kind: 'table', table: benchmarkTable(bar, found, unit.kind), folded: false },
    ...found.notes.map((note) => caution(asSentence(note))),
    standingCaution,
  ];
}

function foundWords(bar: Benchmark, { verdict, estimate, atRisk, proceduresNeeded }: UnitBenchmark, { confidence }: UnitsQuestion): readonly Words[] {
  const needed = Number.isFinite(proceduresNeeded)
    ? `To show with a power of 80% that a unit whose truth is the benchmark is not inferior takes ${formatCount(proceduresNeeded)} procedures followed to ${formatSpan(bar.atYears)}.`
    : 'With no margin, not being inferior can’t be shown for a unit whose truth is the benchmark, however many its procedures.';
  return [
    { text: verdict.status === 'ok' ? `${verdictWords(bar)[verdict.verdict]}.` : `Cannot say yet: ${reasonWords(verdict.reason)}.`, basis: [atRisk] },
    ...(isEstimate(estimate) ? [{ text: `At ${formatSpan(bar.atYears)} ${percentWords(estimate, confidence)} had been revised, with ${formatCount(atRisk)} at risk.`, basis: [atRisk] }] : []),
    { text: needed, basis: [] },
  ];
}

const benchmarkTable = (bar: Benchmark, { verdict, estimate, atRisk, hospitals, proceduresNeeded }: UnitBenchmark, kind: UnitAnalysis['unit']['kind']): ProtectedTable => protectSmallCounts({
  name: 'benchmark',
  title: 'Percent revised against the benchmark',
  method: 'Verdict from the whole interval of 100 (1 − Kaplan–Meier), case mix not taken out (Piaggio et al. 2012, J Am Med Assoc 308:2594; Sayers et al. 2017, BMJ Open 7:e015397).',
  columns: [
    number('Benchmark, %'), number('Margin, points'), words('Time'), number('Percent revised'), number('Lower'), number('Upper'), number('At risk'),
    number(kind === 'hospital' ? 'Hospitals contributing' : 'Hospitals of the surgeon'), words('Verdict'), number('Procedures needed'),
  ],
  rows: [{
    cells: [
      derived(bar.percent, formatPercent, []), derived(bar.margin, formatPercent, []), text(formatSpan(bar.atYears)), ...estimateCells(estimate, formatPercent, [atRisk]),
      count(atRisk), plain(hospitals), { text: verdict.status === 'ok' ? verdictShort[verdict.verdict] : 'cannot say yet', basis: [atRisk] },
      Number.isFinite(proceduresNeeded) ? plain(proceduresNeeded) : text('cannot be shown'),
    ],
  }],
});
