/** The pattern of a mapping that fits these names and as little else as can be: `primaries_*.csv` for two years. */
export function patternOf(names: readonly string[]): string {
  const [first = '', ...rest] = names;
  if (rest.length === 0) return first;
  let start = 0, end = 0;
  const shortest = Math.min(...names.map(({ length }) => length));
  while (start < shortest && names.every((name) => name[start] === first[start])) start++;
  while (end < shortest - start && names.every((name) => name.at(-1 - end) === first.at(-1 - end))) end++;
  const [head, tail] = [first.slice(0, start).replace(/\d+$/, ''), first.slice(first.length - end).replace(/^\d+/, '')];
  return `${head}*${tail}`;
}

/** Does the pattern of a mapping name this file? `*` stands for any text; capital and small letters are the same. */
export function fitsPattern(pattern: string, name: string): boolean {
  const parts = pattern.toLowerCase().split('*'), text = name.toLowerCase();
  const [first = '', ...rest] = parts;
  if (rest.length === 0) return text === first;
  const last = rest.pop() ?? '';
  if (!text.startsWith(first) || !text.endsWith(last) || text.length < first.length + last.length) return false;
  let at = first.length;
  for (const part of rest) {
    const found = text.indexOf(part, at);
    if (found < 0 || found + part.length > text.length - last.length) return false;
    at = found + part.length;
  }
  return true;
}
