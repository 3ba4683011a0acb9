import type { Analysis, HazardRatio } from '../../analysis/result';
import { forestRow, wordsRow, type ForestPart, type Place } from '../forest';

/** One way to put the comparison: ratios of every group but the reference, or words where there are none. */
export interface ForestLine {
  readonly key: string;
  readonly label: string;
  readonly detail: string | null;
  readonly ratios: readonly HazardRatio[] | { readonly instead: string };
  readonly basis?: readonly number[]; // counts of people besides those of the ratios
}

type Heading = Pick<ForestPart, 'key' | 'heading' | 'note' | 'demoted'>;
const has = (ratios: ForestLine['ratios']): ratios is readonly HazardRatio[] => !('instead' in ratios);

/** With one group to compare a row per line under one heading, with several a heading per line and a row per group. */
export function lineParts(analysis: Analysis, heading: Heading, lines: readonly ForestLine[], place: Place): readonly ForestPart[] {
  const rowOf = ({ key, label, detail, ratios, basis }: ForestLine, words: boolean) => (has(ratios)
    ? ratios.map((ratio) => forestRow(analysis.groups, ratio, place, { key: `${key}:${ratio.level}`, ...(words && { label, detail }), ...(basis && { basis }) }))
    : [wordsRow(key, words ? label : '', words ? detail : null, ratios.instead)]);
  if (analysis.groups.length <= 2) return lines.length === 0 ? [] : [{ ...heading, rows: lines.flatMap((line) => rowOf(line, true)) }];
  return lines.map((line, i) => ({
    key: `${heading.key}:${line.key}`, heading: i === 0 && heading.heading !== '' ? `${heading.heading}: ${line.label}` : line.label,
    note: line.detail, demoted: heading.demoted, rows: rowOf(line, false),
  }));
}
