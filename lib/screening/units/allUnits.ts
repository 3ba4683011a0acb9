import { attrition } from '../../analysis/attrition';
import { outcomeGaps } from '../../analysis/cautions';
import { adjustable, noUnitReason, withUnits } from '../../analysis/recordedOf';
import { stepOf, type AnalysisOptions } from '../../analysis/step';
import { procedureConditions } from '../../cohort/conditions';
import { unitFactor, unitOtherThan } from '../../cohort/unit';
import type { UnitsQuestion } from '../../contract/unitsQuestion';
import type { LoadedExtract } from '../../engine/loadedExtract';
import { adjustedCells, caseMixTerms } from './caseMixModel';
import { comparisonQuestion } from './comparisonQuestion';
import { unitCells } from './unitCells';
import { ratioLine } from './unitCounts';
import { unitLines } from './unitLines';
import { unitMethods, unitNotes } from './unitMethods';
import { unitReference } from './unitReference';
import { completeOfUnits, countsOfUnits, everyone, unitRows } from './unitRows';
import { unitSizes, type UnitSize } from './unitSizes';
import type { NoUnits, UnitsAnalysis } from './unitsResult';

/** Above this share of the reference's procedures, 0–1, a unit is held against the others only. Common practice, no source. */
const largestShare = 0.1;

/** Every hospital or surgeon against all of them together. Throws the signal's reason when aborted. */
export async function allUnits({ database, source }: LoadedExtract, question: UnitsQuestion, options: AnalysisOptions = {}): Promise<UnitsAnalysis | NoUnits> {
  const step = stepOf(options);
  await step('Finding the units', 0);
  const conditions = await withUnits(database, procedureConditions(question.cohort, question.horizonYears), question.kind);
  const { adjust, notes: unadjusted } = await adjustable(database, conditions, question.adjust, unitFactor(question.kind)), asked = comparisonQuestion({ ...question, adjust });
  const steps = await attrition(database, conditions);
  const sizes = await unitSizes(database, conditions, question.kind);
  if (sizes.length === 0) return { status: 'empty', reason: noUnitReason(question.kind, conditions), attrition: steps };

  await step('Counting follow-up', 0.2);
  const rows = await unitRows(database, conditions, question.kind, asked), all = everyone(question.kind), one = [{ code: 0, key: 'all', label: all.label }];
  const { complete, leftOut, adjustments } = await unitCells(database, conditions, all, one, asked), terms = caseMixTerms(complete, adjustments);
  const gaps = await outcomeGaps(database, conditions, asked, unitFactor(question.kind));

  await step('Working out what is expected', 0.4);
  const reference = unitReference(adjustedCells(complete, adjustments, terms), () => true, asked), { hazard } = reference;
  const countOf = hazard.status === 'ok' ? countsOfUnits(rows, terms, hazard) : () => hazard, counts = sizes.map(({ code }) => countOf(code));
  const large = unitsAbove(largestShare, sizes, completeOfUnits(rows));
  for (const unit of large) {
    const { code } = sizes[unit]!, others = await unitCells(database, [...conditions, unitOtherThan(question.kind, code)], all, one, asked);
    const { hazard: ofOthers } = unitReference(adjustedCells(others.complete, others.adjustments, terms), () => true, asked);
    counts[unit] = ofOthers.status === 'ok' ? countsOfUnits(rows, terms, ofOthers)(code) : ofOthers;
    await step('Working out what is expected', 0.5);
  }

  await step('Placing the units', 0.7);
  const { lines, funnel, spread } = unitLines(sizes.map(({ key, procedures }, unit) => ratioLine(key, procedures, counts[unit]!, question.confidence)), question);
  const { procedures, observed, untilDay } = reference, adjustedFor = adjustments.map(({ coding }) => coding.label);
  return {
    status: 'ok', question, source, attrition: steps, adjustedFor, leftOut, procedures, observed, untilDay, units: lines, funnel, spread,
    methods: unitMethods(question, adjustedFor, 'Every unit is held against all units together.'),
    notes: [...unadjusted, ...unitNotes(reference, funnel), ...(large.length === 0 ? [] : [leftOutOfOwn(large.length)]), ...gaps],
  };
}

const leftOutOfOwn = (units: number): string =>
  `${units === 1 ? 'One unit has' : `${units} units have`} more than 10 % of all procedures and ${units === 1 ? 'is' : 'are each'} held against the others only.`;

/** Those with more than this share of the complete procedures, by their places. */
function unitsAbove(share: number, sizes: readonly UnitSize[], complete: Float64Array): readonly number[] {
  const total = complete.reduce((sum, n) => sum + n, 0);
  return [...sizes.keys()].filter((u) => complete[sizes[u]!.code]! > share * total);
}
