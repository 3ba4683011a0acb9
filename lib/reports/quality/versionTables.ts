import type { TableChange } from '../../quality/versions/compareTable';
import type { VersionChanges } from '../../quality/versions/compareVersions';
import type { MovedNumber, MovedNumbers } from '../../quality/versions/movedNumbers';
import type { UnitInVersions } from '../../screening/units/versionFlags';
import type { UnitLine } from '../../screening/units/unitsResult';
import { isEstimate } from '../estimate';
import { formatConfidence, formatCount, formatLimits, formatPercent, formatRatio, formatSpan } from '../format';
import { protectSmallCounts } from '../smallCounts';
import { text, type Cell, type ProtectedTable } from '../table';
import { count, derived, number, words } from '../tableCells';
import { statusWords } from '../units/funnelBlocks';
import { hospitalCell } from './placeCells';

const movesShown = 12, linesShown = 20;

const compared = ({ procedures, reoperations, deaths, models }: VersionChanges): readonly (readonly [string, TableChange])[] =>
  [['Procedures', procedures], ['Re-operations', reoperations], ['Deaths', deaths], ['Models', models]];

export const recordsTable = (changes: VersionChanges): ProtectedTable => protectSmallCounts({
  name: 'versions-records', title: 'Records of both versions',
  method: 'Kept records, told apart by their keys: procedures and re-operations by their own, deaths by patient, models by code. A record that one version sets aside is not among its kept ones.',
  columns: [words('Records'), number('Older'), number('Loaded'), number('In the older only'), number('In the loaded only'), number('In both, changed')],
  rows: compared(changes).map(([label, { older, newer, removed, added, changed }]) => ({ cells: [text(label), count(older), count(newer), count(removed), count(added), count(changed)] })),
});

export const fieldsTable = (changes: VersionChanges): ProtectedTable => protectSmallCounts({
  name: 'versions-fields', title: 'Fields that changed, in records of both versions',
  method: 'Values as they are kept. A patient whose pseudonym is new counts as changed in every procedure. How follow-up ends changes with re-operations and deaths, too.',
  columns: [words('Field'), words('Records'), number('Changed'), number('% of those in both')],
  rows: compared(changes).flatMap(([label, { fields, newer, added }]) => fields.map((field) => ({
    block: label, cells: [text(field.label), text(label), count(field.changed), derived((100 * field.changed) / (newer - added), formatPercent, [field.changed])],
  }))),
});

export function movesTable(changes: VersionChanges): ProtectedTable | null {
  const rows = compared(changes).flatMap(([records, { fields }]) => fields.flatMap(({ label, moves }) => moves.slice(0, movesShown).map(({ from, to, count: n }) => ({
    block: `${records}: ${label}`, cells: [text(label), text(from), text(to), count(n)],
  }))));
  return rows.length === 0 ? null : protectSmallCounts({
    name: 'versions-codes', title: 'Codes and models: from what to what', method: `Most frequent first, at most ${movesShown} a field. Of dates, numbers and identifiers only how many changed is told.`,
    columns: [words('Field'), words('Older'), words('Loaded'), number('Records')], rows,
  });
}

const whatWords = { added: 'in the loaded only', removed: 'in the older only', changed: 'changed' } as const;

/** Lines lead to the records in the files; the first of each kind. */
export function linesTable(changes: VersionChanges): ProtectedTable | null {
  const rows = compared(changes).slice(0, 2).flatMap(([records, { differences }]) => {
    const kinds = new Map<string, typeof differences>();
    for (const one of differences) kinds.set(`${one.what} ${one.field ?? ''}`, [...(kinds.get(`${one.what} ${one.field ?? ''}`) ?? []), one]);
    return [...kinds.values()].map((some) => {
      const lines = (side: 'older' | 'newer'): string => some.slice(0, linesShown).flatMap(({ [side]: place }) => (place === null ? [] : [formatCount(place.line)])).join('; ');
      return { cells: [text(records), text(whatWords[some[0]!.what]), text(some[0]!.field ?? ''), text(lines('older')), text(lines('newer'))] };
    });
  });
  return rows.length === 0 ? null : protectSmallCounts({
    name: 'versions-lines', title: 'Where they stand', method: `Lines of each version’s own files, the first ${linesShown} of each kind, in the same order. All of them can be taken away below.`,
    columns: [words('Records'), words('What'), words('Field'), words('Lines, older'), words('Lines, loaded')], rows,
  });
}

const basisOf = ({ older, newer }: MovedNumber): readonly number[] => [older.events, newer.events, Math.abs(newer.events - older.events)];
function told(side: MovedNumber['older'], what: MovedNumber['what'], basis: readonly number[]): readonly Cell[] {
  const format = what === 'percent' ? formatPercent : formatRatio;
  return isEstimate(side) ? [derived(side.value, format, basis), { text: formatLimits(side, format), basis }] : [{ text: 'status' in side ? side.reason : '', basis }, text('')];
}
const formatMoved = (value: number, what: MovedNumber['what']): string =>
  `${value === 0 ? '' : value > 0 ? '+' : '−'}${formatRatio(Math.abs(value))}${what === 'percent' ? ' points' : ''}`; // two decimals: versions differ by little

export const movedTable = ({ rows, question: { confidence } }: MovedNumbers): ProtectedTable => protectSmallCounts({
  name: 'versions-numbers', title: 'The numbers of the question from both versions',
  method: `Cumulative percent revision and hazard ratio against the reference, with ${formatConfidence(confidence)} limits. The two versions hold mostly the same people: their limits say nothing of the difference between them.`,
  columns: [words('Number'), words('Group'), number('Older'), words('Limits, older'), number('Loaded'), words('Limits, loaded'), number('Moved by')],
  rows: rows.map((row) => {
    const { what, group, years, older, newer, moved } = row, basis = basisOf(row);
    return {
      block: what,
      cells: [
        text(what === 'percent' ? `Percent revised at ${formatSpan(years ?? 0)}` : 'Hazard ratio'), text(group), ...told(older, what, basis), ...told(newer, what, [newer.events]),
        Number.isNaN(moved) ? text('') : derived(moved, (value) => formatMoved(value, what), basis),
      ],
    };
  }),
});

const ratioCells = (line: UnitLine | null): readonly Cell[] => {
  if (line === null) return [text('not there'), text(''), text('')];
  const { standardised: s, status } = line;
  return s.status === 'ok'
    ? [derived(s.ratio, formatRatio, [s.observed]), { text: `${formatRatio(s.lower)}–${formatRatio(s.upper)}`, basis: [s.observed] }, { text: statusWords[status], basis: [s.observed] }]
    : [{ text: s.reason, basis: [line.procedures] }, text(''), text(statusWords[status])];
};

export const flagsTable = (units: readonly UnitInVersions[], names: boolean, only: 'changed' | 'all'): ProtectedTable => protectSmallCounts({
  name: `versions-hospitals-${only}`, title: only === 'changed' ? 'Hospitals whose class by the rule changed' : 'Observed over expected of every hospital in both versions',
  method: 'Each version’s hospitals are held against the procedures of that version, by the usual question of the page “Our unit”. In the order of identifiers, which is no ranking.',
  columns: [words('Hospital'), number('O/E, older'), words('Limits, older'), words('By the rule, older'), number('O/E, loaded'), words('Limits, loaded'), words('By the rule, loaded')],
  rows: units.flatMap(({ id, older, newer, changed }, index) => (only === 'all' || changed ? [{ cells: [hospitalCell(id, index, names), ...ratioCells(older), ...ratioCells(newer)] }] : [])),
});
