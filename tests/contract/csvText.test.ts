import { expect, it } from 'vitest';
import { csvCell, csvLine } from '../../lib/contract/csvText';

// Characters that start a formula in spreadsheets: OWASP, "CSV Injection" (owasp.org/www-community/attacks/CSV_Injection); the null character: OWASP ASVS 5.0 (2025), 1.2.10.
it.each([
  ['=1+1', "'=1+1"], ['+1', "'+1"], ['-1+1', "'-1+1"], ['@SUM(A1)', "'@SUM(A1)"], ['\t=1', "'\t=1"], ['\r=1', "\"'\r=1\""],
  ['\n=1', "\"'\n=1\""], ['\0=1', "'\0=1"], ['＝1+1', "'＝1+1"], ['a;=1+1', "a;'=1+1"], ['glenoid;humeral_head', 'glenoid;humeral_head'],
  ['plain', 'plain'], ['a,b', '"a,b"'], ['say "no"', '"say ""no"""'], ['two\nlines', '"two\nlines"'], ['=HYPERLINK("http://example.org","x")', "\"'=HYPERLINK(\"\"http://example.org\"\",\"\"x\"\")\""],
])('%j becomes %j', (value, cell) => { expect(csvCell(value)).toBe(cell); });

it('numbers are no formulas; null is an empty cell; lines end in CRLF (RFC 4180)', () => {
  expect(csvLine([-1.5, null, 'x'])).toBe('-1.5,,x\r\n');
});
