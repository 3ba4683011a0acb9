import type { Estimate } from '../analysis/result';

// Rounding happens here and nowhere else: percentages with one decimal, ratios with two, p-values never as 0.

const counts = new Intl.NumberFormat('en-GB', { maximumFractionDigits: 0 });
const oneDecimal = new Intl.NumberFormat('en-GB', { minimumFractionDigits: 1, maximumFractionDigits: 1 });
const twoDecimals = new Intl.NumberFormat('en-GB', { minimumFractionDigits: 2, maximumFractionDigits: 2 });
const upToTwoDecimals = new Intl.NumberFormat('en-GB', { maximumFractionDigits: 2 });
const calendarDay = new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'long', year: 'numeric', timeZone: 'UTC' });

const daysPerYear = 365.25;
const none = '–';

export const formatCount = (value: number): string => counts.format(value);
const roundingError = 1e-9; // all of many parts may add up to a little less than 100
/** A percentage of 0–100 with one decimal; what is above 0 never shows as 0, and what is below 100 never as 100. */
export const formatPercent = (value: number): string =>
  !Number.isFinite(value) ? none : value > 0 && value < 0.05 ? '<0.1' : value >= 99.95 && value < 100 - roundingError ? '>99.9' : oneDecimal.format(value);
/** Percentage points with one decimal and a minus sign; what is not 0 never shows as 0. */
export const formatPoints = (value: number): string => (value >= 0 ? formatPercent(value) : value > -0.05 ? '>−0.1' : `−${formatPercent(-value)}`);
/** A ratio with two decimals; what is above 0 never shows as 0. */
export const formatRatio = (value: number): string =>
  !Number.isFinite(value) ? none : value > 0 && value < 0.005 ? '<0.01' : twoDecimals.format(value);
export const formatDecimal = (value: number): string => (Number.isFinite(value) ? oneDecimal.format(value) : none);
/** How many are expected, with one decimal; what is above 0 never shows as 0. */
export const formatExpected = (value: number): string => (value > 0 && value < 0.05 ? '<0.1' : formatDecimal(value));

/** `0.043`, `<0.001`; three decimals up to 0.1, two above. */
export function formatP(p: number): string {
  if (!Number.isFinite(p)) return none;
  if (p < 0.001) return '<0.001';
  if (p > 0.99) return '>0.99';
  return p < 0.1 ? p.toFixed(3) : p.toFixed(2);
}

/** `p = 0.043`, `p < 0.001`. */
export const formatPEquation = (p: number): string => `p ${/^[<>]/.test(formatP(p)) ? `${formatP(p)[0] ?? ''} ${formatP(p).slice(1)}` : `= ${formatP(p)}`}`;

/** Limits in the unit of `format`; a missing one is a dash. */
export const formatLimits = ({ lower, upper }: Estimate, format: (value: number) => string): string => `${format(lower)}–${format(upper)}`;

/** `5.2% (4.6–5.9)`. */
export const formatPercentEstimate = (estimate: Estimate): string => `${formatPercent(estimate.value)}% (${formatLimits(estimate, formatPercent)})`;
/** `1.62 (1.40–1.88)`. */
export const formatRatioEstimate = (estimate: Estimate): string => `${formatRatio(estimate.value)} (${formatLimits(estimate, formatRatio)})`;

/** Days as years with one decimal. */
export const formatDaysAsYears = (days: number): string => formatDecimal(days / daysPerYear);

/** `6 months`, `1 year`, `2 years`, `7.5 years`; days beyond what months can say. */
export function formatSpan(years: number): string {
  const months = years * 12;
  if (years < 2 && years !== 1 && Number.isInteger(months)) return months === 1 ? '1 month' : `${months} months`;
  return years === 1 ? '1 year' : `${upToTwoDecimals.format(years)} years`;
}

/** `31 December 2024` for `2024-12-31`. */
export const formatDate = (iso: string): string => calendarDay.format(new Date(`${iso}T00:00:00Z`));

/** `a`, `a and b`, `a, b and c`. */
export const formatList = (items: readonly string[], conjunction = 'and'): string =>
  items.length < 2 ? items.join('') : `${items.slice(0, -1).join(', ')} ${conjunction} ${items.at(-1) ?? ''}`;

/** Confidence of 0–1 as a percentage without trailing zeros: `95%`. */
export const formatConfidence = (confidence: number): string => `${upToTwoDecimals.format(confidence * 100)}%`;
