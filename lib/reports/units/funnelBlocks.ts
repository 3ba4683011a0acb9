import type { FunnelPosition } from '../../screening/funnel/funnel';
import type { UnitLine, UnitsAnalysis } from '../../screening/units/unitsResult';
import type { Block } from '../blocks';
import { formatConfidence, formatExpected, formatP, formatPercent, formatRatio } from '../format';
import { funnelFigure, type FunnelLimitsShown, type FunnelNames } from '../funnelFigure';
import { protectSmallCounts } from '../smallCounts';
import { text, type Cell, type ProtectedTable, type ReportTable, type Row } from '../table';
import { count, derived, number, words } from '../tableCells';
import { unitNouns } from './unitsQuestionWords';
import type { UnitsView } from './unitsView';

export const aPeer = 'a peer';
export const statusWords: Readonly<Record<UnitLine['status'], string>> = { flagged: 'asked about', passed: 'not asked about', notAssessed: 'not assessed' };

/** Peers have no name unless names are switched on; the unit that is looked at always has one. */
export function funnelNames({ question: { kind } }: Pick<UnitsAnalysis, 'question'>, { names, marked }: UnitsView): FunnelNames {
  return {
    of: (id) => {
      const own = marked !== null && marked.kind === kind && marked.id === id;
      return { own, id: own || names ? id : null, label: own || names ? `${unitNouns[kind].one} ${id}` : aPeer };
    },
  };
}

const choices: readonly { readonly label: string; readonly shown: FunnelLimitsShown }[] = [
  { label: 'Both kinds of limits', shown: 'both' }, { label: 'Chance alone', shown: 'chance' }, { label: 'Widened', shown: 'widened' },
];

/** The funnel, with a choice of limits or to be frozen with both kinds, and the shrunken ratios beside it. */
export function funnelBlocks(all: UnitsAnalysis, view: UnitsView, frozen = false): readonly Block[] {
  const names = funnelNames(all, view), table = funnelTable(all, names), shrunken = shrunkenTable(all, names);
  const widens = all.funnel.overdispersion.status === 'ok' && all.funnel.overdispersion.present;
  const drawn = (shown: FunnelLimitsShown): Block => ({ kind: 'funnel', figure: funnelFigure(all, names, shown), table });
  return [
    widens && !frozen
      ? { kind: 'choice', label: 'Limits of the funnel', options: choices.map(({ label, shown }) => ({ label, blocks: [drawn(shown)] })) }
      : drawn('both'),
    ...(shrunken === null ? [] : [{ kind: 'table' as const, table: shrunken, folded: true }]),
  ];
}

const byExpected = (a: UnitLine, b: UnitLine): number => expectedOf(a) - expectedOf(b);
const expectedOf = ({ standardised }: UnitLine): number => (standardised.status === 'ok' ? standardised.expected : 0);

/** An identifier never leaves the page with a table of several units. */
export const nameCell = (label: string, named: boolean): Cell => (named ? { text: label, outside: aPeer } : text(label));
const unitCell = (names: FunnelNames, id: string): Cell => {
  const { label, own } = names.of(id);
  return own ? { text: `${label} (the one looked at)`, outside: 'the unit looked at' } : nameCell(label, label !== aPeer);
};

const placeWords = ({ side, level }: FunnelPosition): string =>
  (level === null || side === 'within' ? 'within' : `${side === 'higher' ? 'above' : 'below'} ${formatConfidence(level)}`);

export function funnelTable(all: UnitsAnalysis, names: FunnelNames): ProtectedTable {
  const { units, funnel, question } = all, noun = unitNouns[question.kind];
  const order = units.map((line, i) => ({ line, at: funnel.units[i] ?? null })).sort((a, b) => byExpected(a.line, b.line));
  const table: ReportTable = {
    name: `funnel-${noun.several}`,
    title: `Observed and expected revisions of ${noun.several}`,
    method: `In the order of expected revisions, which is no ranking. Exact Poisson limits of the ratio at ${formatConfidence(question.confidence)} (Ulm 1990, Am J Epidemiol 131:373); funnel limits after Spiegelhalter 2005, Stat Med 24:1185. Ratios of two units are not comparable with each other.`,
    blocksAddUp: true,
    columns: [
      words('Unit'), number('Procedures'), number('Observed'), number('Expected'), number('Ratio'), number('Lower'), number('Upper'),
      words('Chance limits'), words('Widened limits'), words('By the rule'),
    ],
    rows: order.map(({ line, at }): Row => {
      const { standardised: s } = line, basis = s.status === 'ok' ? [s.observed] : [];
      return {
        block: 'units',
        cells: [
          unitCell(names, line.id), count(line.procedures),
          ...(s.status === 'ok'
            ? [count(s.observed), derived(s.expected, formatExpected, [line.procedures]), derived(s.ratio, formatRatio, basis), derived(s.lower, formatRatio, basis), derived(s.upper, formatRatio, basis)]
            : [text(''), text(''), { text: s.reason, basis: [line.procedures] }, text(''), text('')]),
          { text: at === null ? '' : placeWords(at.plain), basis }, { text: at === null ? '' : placeWords(at.widened), basis }, { text: statusWords[line.status], basis },
        ],
      };
    }),
  };
  return protectSmallCounts(table);
}

/** Ratios drawn towards the mean of all, and how little is known of their order. */
export function shrunkenTable(all: UnitsAnalysis, names: FunnelNames): ProtectedTable | null {
  const { units, spread, question } = all, noun = unitNouns[question.kind];
  if (spread.status !== 'ok') return null;
  return protectSmallCounts({
    name: `shrunken-${noun.several}`,
    title: `Shrunken ratios of ${noun.several} and the uncertainty of their place`,
    method: `Gamma–Poisson model (Clayton & Kaldor 1987, Biometrics 43:671), ${formatConfidence(question.confidence)} credible intervals; place: from the lowest ratio (1) to the highest, by drawing from the posteriors (Goldstein & Spiegelhalter 1996, J R Stat Soc A 159:385). Test that units differ by chance alone: p ${formatP(spread.excess.p)}. In the order of expected revisions, which is no ranking.`,
    columns: [
      words('Unit'), number('Observed'), number('Expected'), number('Shrunken ratio'), number('Lower'), number('Upper'),
      number(`Chance above ${formatRatio(question.minimumRatio)}, %`), words('Place, from … to …'),
    ],
    rows: [...units].sort(byExpected).flatMap((line): Row[] => {
      const { standardised: s, shrunken, rank } = line;
      if (s.status !== 'ok' || shrunken.status !== 'ok') return [];
      const basis = [s.observed];
      return [{
        cells: [
          unitCell(names, line.id), count(s.observed), derived(s.expected, formatExpected, [line.procedures]),
          derived(shrunken.mean, formatRatio, basis), derived(shrunken.lower, formatRatio, basis), derived(shrunken.upper, formatRatio, basis),
          derived(100 * shrunken.above, formatPercent, basis), { text: rank === null ? '' : `${rank.lower}–${rank.upper}`, basis },
        ],
      }];
    }),
  });
}
