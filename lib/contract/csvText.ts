// What a spreadsheet may take for the start of a formula: OWASP, CSV Injection; the null character by OWASP ASVS 5.0 (2025), 1.2.10; the wide
// forms count in East Asian versions.
const formulaAtStart = /^[=+\-@\uFF1D\uFF0B\uFF0D\uFF20\t\r\n\0]/;
const formulaAfterSemicolon = /;(?=[=+\-@\uFF1D\uFF0B\uFF0D\uFF20])/g; // where the spreadsheet's own separator is a semicolon, a cell begins there

/**
 * One cell of CSV text. Text that a spreadsheet would take for a formula gets an apostrophe before it, so that opening the file runs nothing;
 * quotes where the cell holds a comma, a quote or a line end (RFC 4180).
 */
export function csvCell(value: string | number | null): string {
  if (value === null) return '';
  if (typeof value === 'number') return String(value);
  const text = `${formulaAtStart.test(value) ? "'" : ''}${value}`.replace(formulaAfterSemicolon, ";'");
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}

export const csvLine = (cells: readonly (string | number | null)[]): string => `${cells.map(csvCell).join(',')}\r\n`;
