import { attrition } from '../../analysis/attrition';
import { outcomeGaps } from '../../analysis/cautions';
import { adjustable, noUnitReason, withUnits } from '../../analysis/recordedOf';
import { stepOf, type AnalysisOptions } from '../../analysis/step';
import { procedureConditions } from '../../cohort/conditions';
import { unitFactor } from '../../cohort/unit';
import type { UnitsQuestion } from '../../contract/unitsQuestion';
import type { LoadedExtract } from '../../engine/loadedExtract';
import { adjustedCells, caseMixTerms, type AdjustedCells } from './caseMixModel';
import { comparisonQuestion } from './comparisonQuestion';
import { unitCells } from './unitCells';
import { countsByUnit, ratioLine } from './unitCounts';
import { unitLines } from './unitLines';
import { unitMethods, unitNotes } from './unitMethods';
import { unitReference } from './unitReference';
import { unitSizes } from './unitSizes';
import type { NoUnits, UnitsAnalysis } from './unitsResult';

/** Above this share of the reference's procedures, 0–1, a unit is held against the others only. Common practice, no source. */
const largestShare = 0.1;

/** Every hospital or surgeon against all of them together. Throws the signal's reason when aborted. */
export async function allUnits({ database, source }: LoadedExtract, question: UnitsQuestion, options: AnalysisOptions = {}): Promise<UnitsAnalysis | NoUnits> {
  const step = stepOf(options);
  await step('Finding the units', 0);
  const conditions = await withUnits(database, procedureConditions(question.cohort, question.horizonYears), question.kind);
  const { adjust, notes: unadjusted } = await adjustable(database, conditions, question.adjust), asked = comparisonQuestion({ ...question, adjust });
  const steps = await attrition(database, conditions);
  const sizes = await unitSizes(database, conditions, question.kind);
  if (sizes.length === 0) return { status: 'empty', reason: noUnitReason(question.kind, conditions), attrition: steps };

  await step('Counting follow-up', 0.2);
  const { complete, leftOut, adjustments } = await unitCells(database, conditions, unitFactor(question.kind), sizes, asked);
  const gaps = await outcomeGaps(database, conditions, asked);

  await step('Working out what is expected', 0.4);
  const cells = adjustedCells(complete, adjustments, caseMixTerms(complete, adjustments));
  const everyone = unitReference(cells, () => true, asked), counts = [...countsByUnit(cells, everyone, sizes.length)];
  const large = unitsAbove(largestShare, cells, sizes.length);
  for (const unit of large) {
    counts[unit] = countsByUnit(cells, unitReference(cells, (other) => other !== unit, asked), sizes.length)[unit]!;
    await step('Working out what is expected', 0.5);
  }

  await step('Placing the units', 0.7);
  const { lines, funnel, spread } = unitLines(sizes.map(({ key, procedures }, unit) => ratioLine(key, procedures, counts[unit]!, question.confidence)), question);
  const { procedures, observed, untilDay } = everyone, adjustedFor = adjustments.map(({ coding }) => coding.label);
  return {
    status: 'ok', question, source, attrition: steps, adjustedFor, leftOut, procedures, observed, untilDay, units: lines, funnel, spread,
    methods: unitMethods(question, adjustedFor, 'Every unit is held against all units together.'),
    notes: [...unadjusted, ...unitNotes(everyone, funnel), ...(large.length === 0 ? [] : [leftOutOfOwn(large.length)]), ...gaps],
  };
}

const leftOutOfOwn = (units: number): string =>
  `${units === 1 ? 'One unit has' : `${units} units have`} more than 10 % of all procedures and ${units === 1 ? 'is' : 'are each'} held against the others only.`;

/** Those with more than this share of the procedures. */
function unitsAbove(share: number, { unit, cells: { count } }: AdjustedCells, units: number): readonly number[] {
  const sizes = new Float64Array(units);
  unit.forEach((u, i) => { sizes[u]! += count[i]!; });
  const total = sizes.reduce((sum, n) => sum + n, 0);
  return Array.from(sizes.keys()).filter((u) => sizes[u]! > share * total);
}
