import type { Driver, DriverLevel, UnitAnalysis } from '../../screening/units/unitsResult';
import { isEstimate } from '../estimate';
import { caution, heading, paragraph, type Block } from '../blocks';
import { formatConfidence, formatCount, formatDecimal, formatPercent, formatRatio } from '../format';
import { finished, quoted, ratioWords, type Words } from '../phrases';
import { inSentence } from '../questionWords';
import { protectSmallCounts } from '../smallCounts';
import { text, type ProtectedTable, type Row } from '../table';
import { count, derived, estimateCells, number, words } from '../tableCells';

const fewest = 5; // revisions from which a part is named in words
const mostNamed = 3;

/** How far observed is from expected on a scale on which chance is alike everywhere: twice the difference of the roots. */
const deviation = ({ observed, expected }: DriverLevel): number => 2 * (Math.sqrt(observed) - Math.sqrt(expected));
const strongestLevel = ({ levels }: Driver): DriverLevel | null =>
  levels.reduce<DriverLevel | null>((most, level) => (most === null || deviation(level) > deviation(most) ? level : most), null);

/** Drivers by their strongest part. */
const byStrength = (drivers: readonly Driver[]): readonly { readonly driver: Driver; readonly level: DriverLevel }[] =>
  drivers.flatMap((driver) => { const level = strongestLevel(driver); return level === null ? [] : [{ driver, level }]; })
    .sort((a, b) => deviation(b.level) - deviation(a.level));

const standsOut = ({ observed, ratio }: DriverLevel): boolean => observed >= fewest && isEstimate(ratio) && ratio.lower > 1;

export function driverTable({ name, label, levels, note }: Driver, confidence: number): ProtectedTable {
  const reasons = name === 'reason';
  return protectSmallCounts({
    name: `by-${name.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`)}`,
    title: label,
    method: `Excess: observed minus expected; the parts add up to the whole. Exact Poisson limits at ${formatConfidence(confidence)}.${note === null ? '' : ` ${note}`}`,
    blocksAddUp: true,
    columns: [
      words('Part'), number('Procedures'), number('Observed'), number('Expected'), number('Excess'), number('Observed / expected'), number('Lower'), number('Upper'),
      number(reasons ? 'Of the peers’ revisions, %' : 'Of the peers’ procedures, %'),
    ],
    rows: levels.map((level): Row => ({
      block: 'whole',
      cells: [
        name === 'surgeon' ? { text: level.label, outside: 'a surgeon' } : text(level.label), count(level.procedures), count(level.observed), derived(level.expected, formatDecimal, [level.procedures]),
        derived(level.excess, formatExcess, [level.observed]), ...estimateCells(level.ratio, formatRatio, [level.observed]), derived(level.peersPercent, formatPercent, []),
      ],
    })),
  });
}

const formatExcess = (value: number): string => (value < 0 ? `−${formatDecimal(-value)}` : formatDecimal(value));

/** The parts where most more was observed than expected, one of each way to cut. A surgeon is not named in words. */
export function driverWords({ drivers, question, line }: UnitAnalysis): readonly Words[] {
  const named = byStrength(drivers).filter(({ driver, level }) => driver.name !== 'surgeon' && standsOut(level)).slice(0, mostNamed);
  const excess = line.standardised.status === 'ok' ? line.standardised.observed - line.standardised.expected : NaN;
  if (named.length === 0) return [{ text: 'No single reason, design, indication, period or other part stands out from the rest by more than chance.', basis: [] }];
  return [
    ...(Number.isFinite(excess) && excess > 0 ? [{ text: `Of ${formatDecimal(excess)} revisions more than expected in all, the parts below hold the most; they overlap.`, basis: line.standardised.status === 'ok' ? [line.standardised.observed] : [] }] : []),
    ...named.map(({ driver, level }): Words => ({
      text: `By ${inSentence(driver.label)}: ${quoted(level)}, with ${formatCount(level.observed)} revisions where ${formatDecimal(level.expected)} were expected`
        + `${isEstimate(level.ratio) ? `, a ratio of ${ratioWords(level.ratio, question.confidence)}` : ''}.`,
      basis: [level.observed],
    })),
    { text: 'Many parts were looked at, so some stand out by chance, and each limit holds for its own part only. A part that stands out says where to look, and not why.', basis: [] },
  ];
}

export function driverBlocks(analysis: UnitAnalysis): readonly Block[] {
  const { drivers, question } = analysis, strongest = byStrength(drivers)[0]?.driver;
  const inOrder = [...drivers.filter((driver) => driver === strongest), ...drivers.filter((driver) => driver !== strongest)];
  return [
    ...paragraph(finished(driverWords(analysis))),
    ...inOrder.flatMap((driver): readonly Block[] => (driver === strongest
      ? [heading(`Where most stands out: ${inSentence(driver.label)}`), { kind: 'table', table: driverTable(driver, question.confidence), folded: false }, heading('The other ways to cut the same revisions')]
      : [{ kind: 'table', table: driverTable(driver, question.confidence), folded: true }])),
    caution('Each table cuts the same procedures in another way. What is expected already allows for the characteristics that are adjusted for.'),
  ];
}
