/** A record of delimited text. `line` is that on which it begins, counted from 1. */
export interface CsvRow {
  readonly cells: readonly string[];
  readonly line: number;
}

/**
 * The records of delimited text with quotes as in RFC 4180. Empty lines are left out. Lenient, since it only looks: a quote that is never
 * closed ends with the text. `complete`: false where the text is the beginning of more, whose last record may be cut off and is left out.
 */
export function csvRows(text: string, delimiter: string, { most = Infinity, complete = true, from = 0, line: first = 1 } = {}): CsvRow[] {
  const rows: CsvRow[] = [];
  let cells: string[] = [], cell = '', line = first, startLine = first, at = from, quoted = false, any = false;
  const endRow = (): void => {
    cells.push(cell);
    if (any) rows.push({ cells, line: startLine });
    cells = [];
    cell = '';
    any = false;
  };
  while (at < text.length && rows.length < most) {
    const c = text[at] ?? '';
    if (quoted) {
      if (c === '\n') line++;
      if (c !== '"') cell += c;
      else if (text[at + 1] === '"') { cell += '"'; at++; }
      else quoted = false;
    } else if (c === '\n' || c === '\r') {
      if (c === '\r' && text[at + 1] === '\n') at++;
      endRow();
      startLine = ++line;
    } else if (c === delimiter) {
      cells.push(cell);
      cell = '';
      any = true;
    } else if (c === '"' && cell === '') {
      quoted = true;
      any = true;
    } else {
      cell += c;
      any = true;
    }
    at++;
  }
  if (at >= text.length && complete && (any || cells.length > 0)) endRow();
  return rows;
}
