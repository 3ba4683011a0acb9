import type { SubgroupFactor, Subgroups } from '../../analysis/chapters/subgroupsResult';
import type { Analysis } from '../../analysis/result';
import { forest, forestRow, wordsRow, type ForestPart, type Place } from '../forest';
import { formatConfidence, formatList, formatP, formatPEquation } from '../format';
import { finished, reasonWords, type Words } from '../phrases';
import { inSentence } from '../questionWords';
import { hiddenRows, protectSmallCounts as guarded } from '../smallCounts';
import { text, type Place as At, type Relation, type ReportTable, type Row } from '../table';
import { count, plain, ratioCells, ratioColumns, words, number } from '../tableCells';
import { caution, paragraph } from '../blocks';
import type { Content } from './chapterReport';

const found = 0.05; // false discovery rate; common practice, no source

export function subgroupsContent(analysis: Analysis, result: Subgroups): Content {
  const table = guarded(subgroupsTable(analysis, result)), hidden = hiddenRows(table);
  return {
    notes: [],
    blocks: [
      ...paragraph(finished(testsWords(result))),
      ...result.notes.filter((note) => !analysis.notes.includes(note)).map(caution),
      ...paragraph(finished([{ text: 'What is found is a question for other data.', basis: [] }])),
      {
        kind: 'forest', title: 'Hazard ratios in subgroups', table,
        figure: forest((place) => result.factors.map((factor, f) => partOf(analysis, factor, result.tests, place, (r, l) => hidden.has(rowAt(result.factors, f, r, l)))), { row: 'Subgroup' }),
      },
    ],
  };
}

type Tested = SubgroupFactor & { readonly test: { readonly status: 'ok'; readonly p: number; readonly adjustedP: number } };
const isTested = (factor: SubgroupFactor): factor is Tested => factor.test.status === 'ok';

/** Which characteristics the ratio differs by. */
function testsWords({ factors, tests }: Subgroups): Words[] {
  const tested = factors.filter(isTested);
  if (tested.length === 0) return [{ text: 'Whether the ratio differs between patients could not be tested.', basis: [] }];
  const standOut = tested.filter(({ test }) => test.adjustedP < found);
  const looked = tests === 1 ? 'One test was made' : `${tests} tests were made together`;
  if (standOut.length === 0) {
    return [{ text: `${looked}. None shows the ratio to differ by ${formatList(tested.map(({ label }) => inSentence(label)), 'or')}; such tests miss much when revisions are few.`, basis: [] }];
  }
  return [{
    text: `${looked}. The ratio differs by ${formatList(standOut.map(({ label, test }) => `${inSentence(label)} (${formatPEquation(test.adjustedP)} after allowing for all tests)`))}: there one ratio for everybody misleads.`,
    basis: [],
  }];
}

const testNote = ({ test }: SubgroupFactor, tests: number): string => (test.status === 'ok'
  ? `Test that the ratio is the same at all levels: ${formatPEquation(test.p)}${tests > 1 ? `, ${formatPEquation(test.adjustedP)} allowing for all ${tests} tests` : ''}`
  : `Not tested: ${reasonWords(test.reason)}`);

function partOf(analysis: Analysis, factor: SubgroupFactor, tests: number, place: Place, isHidden: (group: number, level: number) => boolean): ForestPart {
  const { levels, label } = factor, several = analysis.groups.length > 2;
  return {
    key: factor.factor, heading: label, note: testNote(factor, tests), demoted: false,
    rows: 'status' in levels
      ? [wordsRow(`${factor.factor}:none`, '', null, levels.reason)]
      : levels.flatMap((level, l) => level.ratios.flatMap((ratio, r) => (ratio.procedures === 0 ? [] : [forestRow(analysis.groups, ratio, place, {
        key: `${factor.factor}:${level.level}:${ratio.level}`, label: several ? `${level.label}: ${inSentence(ratio.label)}` : level.label,
        withheld: isHidden(r, l),
      })]))),
  };
}

const comparedIn = ({ levels }: SubgroupFactor): number => ('status' in levels ? 0 : levels[0]?.ratios.length ?? 0);
const rowsIn = (factor: SubgroupFactor): number => ('status' in factor.levels ? 1 : comparedIn(factor) * factor.levels.length);
/** The row of a level of one of the groups. */
const rowAt = (factors: readonly SubgroupFactor[], f: number, group: number, level: number): number => {
  const { levels } = factors[f]!;
  return factors.slice(0, f).reduce((sum, factor) => sum + rowsIn(factor), 0) + group * ('status' in levels ? 1 : levels.length) + level;
};

/** All of a level are those of the groups and of the reference; they stand in the rows of every group. */
const relationsOf = (factors: readonly SubgroupFactor[]): readonly Relation[] => factors.flatMap((factor, f) => ('status' in factor.levels ? [] : factor.levels.flatMap((level, l) => {
  const groups = [...Array(comparedIn(factor)).keys()], at = (g: number, column: number): At => [rowAt(factors, f, g, l), column];
  return ([['procedures', 2, 5], ['events', 3, 6]] as const).flatMap(([of, all, own]): Relation[] => [
    { whole: at(0, all), parts: groups.map((g) => at(g, own)), rest: Math.max(0, level[of] - level.ratios.reduce((sum, ratio) => sum + ratio[of], 0)) },
    ...groups.slice(1).map((g): Relation => ({ whole: at(g, all), parts: [at(0, all)] })),
  ]);
})));

const subgroupsTable = (analysis: Analysis, { factors }: Subgroups): ReportTable => ({
  name: 'hazard-ratios-in-subgroups',
  title: 'Hazard ratios in subgroups',
  method: `Against the reference within each level, from one Cox model per characteristic with its interaction with the groups; limits at ${formatConfidence(analysis.question.confidence)}. Interaction: Wald test; adjusted p: false discovery rate over all tests (Benjamini & Hochberg 1995, J R Stat Soc B 57:289).`,
  blocksAddUp: true,
  columns: [
    words('Characteristic'), words('Subgroup'), number('All procedures'), number('All revised'), ...ratioColumns.map((c) => (c.label === 'Level' ? words('Group') : c)),
    number('Interaction p'), number('Interaction, adjusted p'),
  ],
  relations: relationsOf(factors),
  rows: factors.flatMap((factor): Row[] => {
    const { levels, test, label } = factor;
    if ('status' in levels) return [{ block: label, cells: [text(label), text(levels.reason), ...Array.from({ length: ratioColumns.length + 4 }, () => text(''))] }];
    const compared = levels[0]?.ratios ?? [];
    return compared.flatMap(({ level: group }, r) => levels.flatMap((level, l): Row[] => {
      const ratio = level.ratios[r];
      return ratio === undefined ? [] : [{
        block: `${label}: ${group}`, group: analysis.groups.findIndex((g) => g.key === group), // the levels of one group add up
        cells: [
          text(l === 0 ? label : ''), text(level.label), count(level.procedures), count(level.events), ...ratioCells(ratio),
          ...(l + r === 0 && test.status === 'ok' ? [plain(test.p, formatP), plain(test.adjustedP, formatP)] : [text(''), text('')]),
        ],
      }];
    }));
  }),
});
