/**
 * One cell of CSV text. Text that a spreadsheet would take for a formula gets an apostrophe before it, so that opening the file runs nothing;
 * quotes where the cell holds a comma, a quote or a line end (RFC 4180).
 */
export function csvCell(value: string | number | null): string {
  if (value === null) return '';
  const text = typeof value === 'string' && /^[=+\-@\t\r]/.test(value) ? `'${value}` : String(value);
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}

export const csvLine = (cells: readonly (string | number | null)[]): string => `${cells.map(csvCell).join(',')}\r\n`;
