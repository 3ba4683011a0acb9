import type { Estimate, HazardRatio } from '../analysis/result';
import { isEstimate } from './estimate';
import { formatCount, formatP, formatRatio } from './format';
import { ratioLabel } from './ownLimits';
import { text, type Cell, type Column } from './table';

// Columns and cells of report tables. Words and rounding are made here; the full number goes along in `value`.

export const words = (label: string): Column => ({ label, numeric: false });
export const number = (label: string): Column => ({ label, numeric: true });

export const count = (value: number): Cell => ({ text: formatCount(value), value, basis: [value] });
/** A number of hospitals, years …: not of people. */
export const plain = (value: number, format: (value: number) => string = formatCount): Cell => ({ text: format(value), value });
export const derived = (value: number, format: (value: number) => string, basis: readonly number[]): Cell => ({ text: format(value), value, basis });

/** Estimate, lower and upper limit as three cells; a reason in the first where there is none. */
export const estimateCells = (estimate: Estimate | { readonly reason: string }, format: (value: number) => string, basis: readonly number[]): readonly Cell[] =>
  isEstimate(estimate)
    ? [derived(estimate.value, format, basis), derived(estimate.lower, format, basis), derived(estimate.upper, format, basis)]
    : [{ text: estimate.reason, basis }, text(''), text('')];

export const ratioColumns: readonly Column[] = [words('Level'), number('Procedures'), number('Revised'), number('Hazard ratio'), number('Lower'), number('Upper'), number('p')];
/** @param label instead of the ratio's own */
export const ratioCells = (ratio: HazardRatio, label = ratio.label): readonly Cell[] => {
  const { procedures, events, estimate, p } = ratio;
  return [
    text(ratioLabel(ratio, label)), count(procedures), count(events), ...estimateCells(estimate, formatRatio, [events]),
    isEstimate(estimate) ? derived(p, formatP, [events]) : text(''),
  ];
};
