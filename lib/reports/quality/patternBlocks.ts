import type { Pattern, PatternPart } from '../../quality/patterns/pattern';
import { heading, paragraph, type Block } from '../blocks';
import { formatCount, formatExpected, formatP } from '../format';
import { finished } from '../phrases';
import { protectSmallCounts } from '../smallCounts';
import { text, type Cell, type ProtectedTable, type ReportTable } from '../table';
import { count, derived, number, plain, words } from '../tableCells';
import { placeCell } from './placeCells';
import type { QualityView } from './qualityView';

const partsShown = 30;

const isPeople = ({ unit }: Pattern): boolean => unit !== 'hospitals' && unit !== 'surgeons';
const counted = (pattern: Pattern, value: number): Cell => (isPeople(pattern) ? count(value) : plain(value));
const optional = (value: number, format: (value: number) => string, basis: readonly number[]): Cell => (Number.isNaN(value) ? text('') : derived(value, format, basis));

const table = (name: string, title: string, patterns: readonly Pattern[], extra: Partial<ReportTable> = {}): ProtectedTable => protectSmallCounts({
  name, title, method: 'A flag is a question: each pattern has a good reason somewhere. Bounds are this workbench’s own choice. p: chance of as many or more (of as few or fewer, for weekends).',
  columns: [words('What is looked for'), number('Found'), number('Among'), words('Counted in'), number('Expected'), number('p'), words('Rule'), words('What to do')],
  rows: patterns.map((pattern) => {
    const { label, of, unit, expected, p, rule, todo, notLookedAt, count: n } = pattern;
    return {
      cells: [
        text(label), ...(notLookedAt === null ? [counted(pattern, n), counted(pattern, of)] : [text(`not looked at: ${notLookedAt}`), text('')]),
        text(unit), notLookedAt === null ? optional(expected, formatExpected, [n]) : text(''), notLookedAt === null ? optional(p, formatP, [n]) : text(''), text(rule),
        { text: todo.text, href: todo.href },
      ],
    };
  }),
  ...extra,
});

function partsTable(pattern: Pattern, { names }: QualityView): ProtectedTable {
  const { parts, label } = pattern, withExpected = parts.some(({ expected }) => !Number.isNaN(expected)), withP = parts.some(({ p }) => !Number.isNaN(p));
  const labelled = ({ kind, label: of }: PatternPart): Cell => (kind === 'other' ? text(of ?? 'not recorded') : placeCell(kind, of, names));
  return protectSmallCounts({
    name: `pattern-${pattern.id}`, title: `${label}: where`,
    method: `${pattern.rule}${parts.length > partsShown ? ` The first ${partsShown} of ${formatCount(parts.length)}.` : ''}`,
    columns: [words('Where'), number(pattern.id === 'surgeon-hospitals' ? 'Hospitals in one year' : pattern.id === 'surgeon-day' ? 'Such days' : 'Found'), number('Among'), ...(withExpected ? [number('Expected')] : []), ...(withP ? [number('p')] : [])],
    rows: parts.slice(0, partsShown).map((part) => ({
      cells: [
        labelled(part), pattern.id.startsWith('surgeon-') ? plain(part.count) : count(part.count), count(part.of),
        ...(withExpected ? [optional(part.expected, formatExpected, [part.of])] : []), ...(withP ? [optional(part.p, formatP, [part.of])] : []),
      ],
    })),
  });
}

export function patternBlocks(patterns: readonly Pattern[], view: QualityView): readonly Block[] {
  const asked = patterns.filter((pattern) => pattern.asked), rest = patterns.filter((pattern) => !pattern.asked);
  return [
    ...paragraph(finished([{
      text: asked.length === 0
        ? `None of ${patterns.length} implausible patterns that were looked for is there. Errors that make no pattern are not seen this way.`
        : `${asked.length} of ${patterns.length} implausible patterns that were looked for ${asked.length === 1 ? 'is' : 'are'} there.`, basis: [],
    }])),
    ...(asked.length === 0 ? [] : [{ kind: 'table' as const, table: table('patterns-asked', 'To be asked about', asked), folded: false }]),
    ...asked.filter(({ parts }) => parts.length > 0).map((pattern): Block => ({ kind: 'table', table: partsTable(pattern, view), folded: true })),
    ...(rest.length === 0 ? [] : [heading('Looked for and not found'), { kind: 'table' as const, table: table('patterns-not-asked', 'Within what is expected, or not looked at', rest), folded: true }]),
  ];
}
