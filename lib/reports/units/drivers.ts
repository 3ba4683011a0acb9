import type { Driver, DriverLevel, UnitAnalysis } from '../../screening/units/unitsResult';
import { isEstimate } from '../estimate';
import { caution, heading, paragraph, type Block } from '../blocks';
import { formatConfidence, formatCount, formatDecimal, formatPercent, formatRatio } from '../format';
import { partCells, partColumns, usualRatios } from '../partsTable';
import { finished, quoted, ratioWords, type Words } from '../phrases';
import { inSentence } from '../questionWords';
import { protectSmallCounts } from '../smallCounts';
import { text, type ProtectedTable, type Row } from '../table';
import { derived, number } from '../tableCells';

const fewest = 5; // revisions from which a part is named in words
const mostNamed = 3;

/** The unit's own ratio, or 1 where that is higher: a part stands out from the rest of the unit, not only from the peers. */
const ownLevel = ({ line: { standardised } }: UnitAnalysis): number => (standardised.status === 'ok' ? Math.max(1, standardised.ratio) : 1);

/** What is usual for such procedures among the peers, to what is expected of all: a design may be revised more everywhere. */
const usual = ({ peersRatio }: DriverLevel): number => (peersRatio !== null && isEstimate(peersRatio) ? peersRatio.value : 1);

/** How far a part is above both, on a scale on which chance is alike everywhere: twice the difference of the roots. */
const deviation = (level: DriverLevel, own: number): number => 2 * (Math.sqrt(level.observed) - Math.sqrt(own * usual(level) * level.expected));

interface Part { readonly driver: Driver; readonly level: DriverLevel }

/** The strongest part of each driver, strongest first. */
const byStrength = (analysis: UnitAnalysis): readonly Part[] => {
  const own = ownLevel(analysis), stronger = (a: DriverLevel, b: DriverLevel) => deviation(b, own) - deviation(a, own);
  return analysis.drivers.flatMap((driver): Part[] => driver.levels.toSorted(stronger).slice(0, 1).map((level) => ({ driver, level }))).sort((a, b) => stronger(a.level, b.level));
};

const standsOut = (level: DriverLevel, own: number): boolean => level.observed >= fewest && isEstimate(level.ratio) && level.ratio.lower > own * Math.max(1, usual(level));

/** A surgeon is not named in words. */
const outstanding = (analysis: UnitAnalysis): readonly Part[] =>
  byStrength(analysis).filter(({ driver, level }) => driver.name !== 'surgeon' && standsOut(level, ownLevel(analysis))).slice(0, mostNamed);

export function driverTable({ name, label, levels, note }: Driver, confidence: number): ProtectedTable {
  const usualOnes = usualRatios(levels, 'Peers’');
  return protectSmallCounts({
    name: `by-${label.toLowerCase().replace(/[^a-z]+/g, '-')}`,
    title: label,
    method: `Excess: observed minus expected; the parts add up to the whole. Exact Poisson limits at ${formatConfidence(confidence)}.${usualOnes.note}${note === null ? '' : ` ${note}`}`,
    blocksAddUp: true,
    columns: [...partColumns, ...usualOnes.columns, number(name === 'reason' ? 'Of the peers’ revisions, %' : 'Of the peers’ procedures, %')],
    rows: levels.map((level): Row => ({
      block: 'whole',
      cells: [
        name === 'surgeon' ? { text: level.label, outside: 'a surgeon' } : text(level.label), ...partCells(level), ...usualOnes.cells(level),
        derived(level.peersPercent, formatPercent, []),
      ],
    })),
  });
}

const partWords = ({ driver, level }: Part, { question }: UnitAnalysis): Words => ({
  text: `By ${inSentence(driver.label)}: ${quoted(level)}, with ${formatCount(level.observed)} revisions where ${formatDecimal(level.expected)} were expected`
    + (isEstimate(level.ratio) ? `, a ratio of ${ratioWords(level.ratio, question.confidence)}` : '')
    + `${level.peersRatio !== null && isEstimate(level.peersRatio) ? `; among the peers that ratio is ${formatRatio(level.peersRatio.value)}` : ''}.`,
  basis: [level.observed],
});

const excessOf = ({ line: { standardised: s } }: UnitAnalysis): Words | null =>
  (s.status === 'ok' && s.observed > s.expected ? { text: `${formatDecimal(s.observed - s.expected)} revisions more than expected in all.`, basis: [s.observed] } : null);

/** The one part that stands out most, in a sentence. */
export function mostOutstanding(analysis: UnitAnalysis): readonly Words[] {
  const [most] = outstanding(analysis);
  if (most === undefined) return [{ text: 'Among reasons, implants, indications, periods and other parts none stands out clearly from the rest of the unit.', basis: [] }];
  const { text: part, basis } = partWords(most, analysis);
  return [{ text: `What stands out most from the rest of the unit is, ${part.replace(/^By/, 'by')} That says where to look, and not why.`, basis }];
}

/** The parts that stand out from the rest of the unit; where none does, those that hold most of the excess. */
export function driverWords(analysis: UnitAnalysis): readonly Words[] {
  const found = outstanding(analysis), excess = excessOf(analysis);
  const largest = found.length > 0 || excess === null ? [] : analysis.drivers.filter(({ name }) => name === 'reason' || name === 'design')
    .flatMap((driver): Part[] => driver.levels.filter(({ observed, excess: more }) => observed >= fewest && more > 0).toSorted((a, b) => b.excess - a.excess).slice(0, 1).map((level) => ({ driver, level })));
  return [
    ...(excess === null ? [] : [excess]),
    ...(found.length > 0
      ? [{ text: 'These parts stand out from the rest of the unit; they overlap.', basis: [] }]
      : [{ text: `No part stands out clearly from the rest of the unit${excess === null ? '' : ': what is more than expected is spread over them'}.`, basis: [] }]),
    ...(largest.length > 0 ? [{ text: 'Most of it lies here, where most was done or most is usually revised.', basis: [] }] : []),
    ...[...found, ...largest].map((part) => partWords(part, analysis)),
    ...(found.length > 0 ? [{ text: 'Many parts were looked at, so some stand out by chance, and each limit holds for its own part only. A part that stands out says where to look, and not why.', basis: [] }] : []),
  ];
}

export function driverBlocks(analysis: UnitAnalysis): readonly Block[] {
  const { drivers, question } = analysis, strongest = byStrength(analysis)[0]?.driver;
  const inOrder = [...drivers.filter((driver) => driver === strongest), ...drivers.filter((driver) => driver !== strongest)];
  return [
    ...paragraph(finished(driverWords(analysis))),
    ...inOrder.flatMap((driver): readonly Block[] => (driver === strongest
      ? [heading(`Where most stands out: ${inSentence(driver.label)}`), { kind: 'table', table: driverTable(driver, question.confidence), folded: false }, heading('The other ways to cut the same revisions')]
      : [{ kind: 'table', table: driverTable(driver, question.confidence), folded: true }])),
    caution('Each table cuts the same procedures in another way. What is expected already allows for the characteristics that are adjusted for.'),
  ];
}
