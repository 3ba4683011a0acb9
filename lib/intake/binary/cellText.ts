/** The text of a cell as a CSV file would hold it; null: empty; undefined: this is no cell, but a list, a group or bytes. */
export function cellText(value: unknown, zoned = false): string | null | undefined {
  if (value === null || value === undefined || value === '') return null;
  if (typeof value === 'string') return value;
  if (typeof value === 'number') return Number.isNaN(value) ? null : String(value);
  if (typeof value === 'bigint' || typeof value === 'boolean') return String(value);
  return value instanceof Date ? dayText(value, zoned) : undefined;
}

/**
 * A calendar day as ISO 8601, with the time of day where there is one. `zoned`: the moment is told in universal time, of which the local day is
 * not known; it keeps its Z, with which no rule takes it for a day.
 */
export function dayText(date: Date, zoned = false): string | null {
  if (Number.isNaN(date.getTime())) return null;
  const text = new Date(Math.round(date.getTime() / 1000) * 1000).toISOString(); // days of workbooks are fractions
  if (text.endsWith('T00:00:00.000Z')) return text.slice(0, 10);
  return zoned ? `${text.slice(0, 19)}Z` : text.slice(0, 19);
}
