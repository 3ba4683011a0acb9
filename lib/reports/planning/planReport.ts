import type { StudyPlan } from '../../contract/studyPlan';
import { powersAtHand, sampleSize, type SampleSize } from '../../planning/sampleSize';
import { variations } from '../../planning/variations';
import { caution, paragraph, type Block } from '../blocks';
import { formatCount, formatDecimal, formatList, formatPercent } from '../format';
import { protectSmallCounts } from '../smallCounts';
import { text, type Cell, type ReportTable } from '../table';
import { number, plain, words } from '../tableCells';
import { armLabels, comparisonWords, expectedIn, planMethod, sizeWords } from './planWords';

/** What a plan needs, ready to be shown. No number in it is of a patient: nothing is withheld. */
export interface PlanReport {
  readonly status: 'ok';
  readonly recruited: number | null; // null: the plan cannot be sized
  readonly blocks: readonly Block[];
}

const say = (...sentences: readonly string[]): readonly Block[] => paragraph(sentences.map((sentence) => ({ text: sentence, staysInside: false })));
const table = (content: ReportTable): Block => ({ kind: 'table', folded: false, table: protectSmallCounts(content) });
const powerCell = (power: number | null): Cell => (power === null ? text('nothing to see') : plain(100 * power, (value) => `${formatPercent(value)}%`));

export function planReport(plan: StudyPlan): PlanReport {
  const size = sampleSize(plan), atHand = handBlocks(plan);
  if (size.status === 'notEstimable') {
    return { status: 'ok', recruited: null, blocks: [...say(comparisonWords(plan)), caution(`No number can be given: ${size.reason}.`), ...atHand] };
  }
  return {
    status: 'ok',
    recruited: size.recruited,
    blocks: [
      ...say(sizeWords(armLabels(plan), size.arms.map(({ analysed }) => analysed), size.recruited), comparisonWords(plan)),
      table(armsTable(plan, size)), table(comparisonsTable(plan, size)), ...atHand, table(variationsTable(plan, size)),
      ...cautionsOf(plan).map(caution),
    ],
  };
}

function armsTable(plan: StudyPlan, size: SampleSize): ReportTable {
  const revisions = plan.endPoint.kind === 'revision', expected = expectedIn(plan.endPoint);
  return {
    name: 'planned-numbers', title: 'Procedures in each arm', method: planMethod(plan),
    columns: [words('Arm'), words('Expected'), number('With the end point'), number('To be recruited'), ...(revisions ? [number('Revisions to be seen')] : [])],
    rows: size.arms.map((arm, i) => ({
      cells: [text(arm.label), text(expected[i] ?? ''), plain(arm.analysed), plain(arm.recruited), ...(arm.revisions === null ? [] : [plain(arm.revisions, formatDecimal)])],
    })),
  };
}

const comparisonsTable = (plan: StudyPlan, { powers }: SampleSize): ReportTable => ({
  name: 'planned-comparisons', title: 'What these numbers let one see', method: planMethod(plan),
  columns: [words('Comparison'), number('Two-sided level'), number('Power')],
  rows: powers.map(({ arms, alpha, power }) => ({
    cells: [text(arms.map((i) => plan.arms[i]?.label ?? '').join(arms.length > 2 ? ', ' : ' and ')), plain(100 * alpha, (value) => `${formatDecimal(value)}%`), powerCell(power)],
  })),
});

/** What the numbers that can be had let one see. */
function handBlocks(plan: StudyPlan): readonly Block[] {
  const found = powersAtHand(plan);
  if (found === null) return [];
  return [table({
    name: 'numbers-at-hand', title: `With the procedures that can be had: ${formatList(found.recruited.map((n, i) => `${formatCount(n)} with ${plan.arms[i]?.label ?? ''}`))}`, method: planMethod(plan),
    columns: [words('Comparison'), number('Two-sided level'), number('Power')],
    rows: found.powers.map(({ arms, alpha, power }) => ({
      cells: [text(arms.map((i) => plan.arms[i]?.label ?? '').join(arms.length > 2 ? ', ' : ' and ')), plain(100 * alpha, (value) => `${formatDecimal(value)}%`), powerCell(power)],
    })),
  })];
}

const variationsTable = (plan: StudyPlan, size: SampleSize): ReportTable => ({
  name: 'if-the-plan-errs', title: 'If what is expected is not quite right', method: 'Each line changes one thing of the plan. Power is that of the comparison seen least well.',
  columns: [words('What is other than planned'), number('To be recruited then'), number('Power with the planned numbers')],
  rows: variations(plan, size.arms.map(({ recruited }) => recruited)).map(({ change, recruited, power }) => ({
    cells: [text(change), recruited === null ? text('no number is enough') : plain(recruited, formatCount), powerCell(power)],
  })),
});

function cautionsOf({ assignment, endPoint, alpha, attritionPercent }: StudyPlan): readonly string[] {
  return [
    ...(assignment === 'observed' ? ['Who gets which implant follows from the patient and the surgeon: adjustment costs numbers that are not in this sum, and what is not recorded cannot be adjusted for. Such a study shows an association, not an effect.'] : []),
    ...(endPoint.kind === 'revision' ? ['Hazards are taken as constant and proportional. Revision hazards of designs may cross; then the plan asks the wrong question.'] : []),
    ...(endPoint.margin === null ? [] : ['A margin is a clinical judgement with a source, fixed before the results. It is not what the numbers at hand allow.']),
    ...(alpha > 0.05 ? ['The level is above 5%: say why in the protocol.'] : []),
    ...(attritionPercent > 20 ? ['More than a fifth is expected to be lost: those who come differ from those who don’t, and no number of procedures mends that.'] : []),
    'Power is for planning. After the results, limits say what was learnt. Ethics review, registration and local governance come first.',
  ];
}
