/** The cells of the first line of a CSV text, quotes taken off. Null where a quote is left open. */
export function headerCells(firstLine: string): readonly string[] | null {
  const cells: string[] = [];
  const cell = /(?:"((?:[^"]|"")*)"|([^,"]*))(,|$)/y;
  for (;;) {
    const match = cell.exec(firstLine);
    if (match === null) return null;
    cells.push(match[1]?.replaceAll('""', '"') ?? match[2] ?? '');
    if (match[3] === '') return cells;
  }
}
