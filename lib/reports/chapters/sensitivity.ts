import type { Sensitivity, SensitivityFamily, SensitivityLine } from '../../analysis/chapters/sensitivityResult';
import type { Analysis } from '../../analysis/result';
import { isEstimate } from '../estimate';
import { forest } from '../forest';
import { formatConfidence, formatCount, formatList, formatP, formatRatio } from '../format';
import { asSentence, capital, finished, reasonWords } from '../phrases';
import { inSentence } from '../questionWords';
import { guardedCount, protectSmallCounts as guarded } from '../smallCounts';
import { text, type ReportTable, type Row } from '../table';
import { count, derived, estimateCells, number, words } from '../tableCells';
import { caution, paragraph, type Block } from '../blocks';
import type { Content } from './chapterReport';
import { lineParts, type ForestLine } from './linesForest';
import { eValueWords, lineLabel, linesWords } from './sensitivityWords';

const families: Readonly<Record<SensitivityFamily, string>> = {
  asked: 'As asked', adjustment: 'Adjusted otherwise', patients: 'Some patients only', implants: 'Some implants only', users: 'Some users only',
  calendar: 'Some years only', outcome: 'Another event',
};

export const sensitivityContent = (analysis: Analysis, result: Sensitivity): Content => ({
  notes: [],
  blocks: [
    ...paragraph(finished(['The same comparison under every reasonable alternative.', ...result.notes.filter((note) => !analysis.notes.includes(note))].map((text) => ({ text, basis: [] })))),
    ...result.groups.flatMap((group, g) => paragraph(finished([...linesWords(group, g, result.lines), eValueWords(group, result)]))),
    caution('A large E-value is no proof: several weaker things unrecorded, or a wrong record, do the same together.'),
    forestBlock(analysis, result),
  ],
});

/** What a line is for, and what it leaves out. */
function detailOf({ family, why, result }: SensitivityLine): string {
  if (result.status === 'notApplicable') return result.reason;
  if (result.status === 'notEstimable') return `${why} Not estimable: ${reasonWords(result.reason)}.`;
  const { fewer, notes } = result;
  const less = family === 'asked' || fewer.events <= 0 ? [] : [`${capital(guardedCount(fewer.events))} revisions fewer than as asked.`];
  return [why, ...less, ...notes.map(asSentence)].join(' ');
}

function lineOf(line: SensitivityLine): ForestLine {
  const { key, result } = line, common = { key, label: lineLabel(line), detail: detailOf(line) };
  if (result.status !== 'ok') return { ...common, ratios: { instead: result.status === 'notApplicable' ? 'does not apply' : 'not estimable' } };
  return { ...common, ratios: result.ratios, basis: [Math.abs(result.fewer.procedures), Math.abs(result.fewer.events)] };
}

function forestBlock(analysis: Analysis, result: Sensitivity): Block {
  const applies = result.lines.filter((line) => line.result.status !== 'notApplicable'), others = result.lines.filter((line) => line.result.status === 'notApplicable');
  const inUse = [...new Set(applies.map(({ family }) => family))];
  const figure = forest((place) => [
    ...inUse.flatMap((family) => lineParts(analysis, { key: family, heading: families[family], note: null, demoted: false }, applies.filter((line) => line.family === family).map(lineOf), place)),
    ...lineParts(analysis, { key: 'others', heading: 'Does not apply here', note: null, demoted: true }, others.map(lineOf), place),
  ], { row: 'Alternative' });
  return { kind: 'forest', title: 'Hazard ratios under the alternatives', figure, table: guarded(sensitivityTable(analysis, result)) };
}

/** Lines of one comparison differ by few people at times, so these differences count as small counts too. */
const sensitivityTable = (analysis: Analysis, { lines }: Sensitivity): ReportTable => ({
  name: 'hazard-ratios-under-the-alternatives',
  title: 'Hazard ratios under the alternatives',
  method: `Each line leaves everything else as asked. Limits at ${formatConfidence(analysis.question.confidence)}. Fewer: than as asked. Shift: the ratio in multiples of that as asked.`,
  columns: [
    words('Alternative'), words('Group'), words('Adjusted for'), number('Procedures'), number('Revised'), number('Fewer procedures'), number('Fewer revised'),
    number('Ratio'), number('Lower'), number('Upper'), number('p'), number('Shift'), words('Measure'),
  ],
  rows: lines.flatMap((line): Row[] => {
    const { key, result } = line;
    if (result.status !== 'ok') return [{ block: key, cells: [text(lineLabel(line)), text(''), text(''), text(''), text(''), text(''), text(''), text(result.reason), ...Array.from({ length: 5 }, () => text(''))] }];
    const fewer = [Math.abs(result.fewer.procedures), Math.abs(result.fewer.events)];
    return result.ratios.map((ratio, g): Row => {
      const basis = [ratio.events, ...fewer], shift = result.shifts[g] ?? NaN;
      return {
        block: key, group: analysis.groups.findIndex((group) => group.key === ratio.level),
        cells: [
          text(lineLabel(line)), text(ratio.label), text(result.adjustedFor.length === 0 ? 'nothing' : formatList(result.adjustedFor.map(inSentence))),
          { ...count(ratio.procedures), basis: [ratio.procedures, ...fewer] }, { ...count(ratio.events), basis },
          { text: formatCount(result.fewer.procedures), value: result.fewer.procedures, basis: fewer }, { text: formatCount(result.fewer.events), value: result.fewer.events, basis: fewer },
          ...estimateCells(ratio.estimate, formatRatio, basis), isEstimate(ratio.estimate) ? derived(ratio.p, formatP, basis) : text(''),
          Number.isFinite(shift) ? derived(shift, formatRatio, basis) : text(''), text(result.measure === 'hazard' ? 'hazard ratio' : 'subdistribution hazard ratio'),
        ],
      };
    });
  }),
});
