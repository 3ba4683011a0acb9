import { isSmallCount, type CountAt, type CountTable } from '@/lib/disclosure/countTable';

// A slow, obvious attacker: writes down every whole-numbered table that agrees with what is told.

/** The lowest and highest whole number that each count can have; up to `most`. */
export function byEnumeration({ counts, sums, untold }: CountTable, hidden: ReadonlySet<CountAt>, most: number): readonly (readonly [number, number])[] {
  const open = [...counts.keys()].filter((at) => hidden.has(at) || untold?.has(at) === true);
  const tried = [...counts], ranges = counts.map((count, at): [number, number] => (open.includes(at) ? [Infinity, -Infinity] : [count, count]));
  const unknown = sums.map(({ plus, minus }) => new Set([...plus, ...minus].filter((at) => open.includes(at))));
  const holds = (s: number) => { const { plus, minus, total } = sums[s]!; return plus.reduce((t, at) => t + tried[at]!, 0) - minus.reduce((t, at) => t + tried[at]!, 0) === total; };
  const go = (i: number) => {
    if (i === open.length) {
      for (const at of open) { const range = ranges[at]!; range[0] = Math.min(range[0], tried[at]!); range[1] = Math.max(range[1], tried[at]!); }
      return;
    }
    const settled = new Set(open.slice(0, i + 1));
    for (let value = 0; value <= most; ++value) {
      tried[open[i]!] = value;
      if (sums.every((_, s) => !unknown[s]!.has(open[i]!) || ![...unknown[s]!].every((at) => settled.has(at)) || holds(s))) go(i + 1);
    }
  };
  go(0);
  return ranges;
}

/** The lowest cost at which no small count is pinned, by trying every set of further counts. */
export function cheapest(table: CountTable, smallest: number, most: number): number | null {
  const { counts } = table, small = [...counts.keys()].filter((at) => isSmallCount(counts[at]!, smallest)), rest = [...counts.keys()].filter((at) => !small.includes(at));
  let best: number | null = null;
  for (let set = 0; set < 2 ** rest.length; ++set) {
    const more = rest.filter((_, i) => (set >> i) % 2 === 1), cost = more.reduce((sum, at) => sum + counts[at]! + 1, 0);
    if (best !== null && cost >= best) continue;
    const ranges = byEnumeration(table, new Set([...small, ...more]), most);
    if (small.every((at) => ranges[at]![1] - ranges[at]![0] >= smallest)) best = cost;
  }
  return best;
}

/** A table of rows and columns with all its margins told; count (r, c) is at `r * columns + c`. */
export function crossTable(rows: readonly (readonly number[])[]): CountTable {
  const width = rows[0]!.length, total = (at: readonly number[], counts: readonly number[]) => at.reduce((sum, i) => sum + counts[i]!, 0), counts = rows.flat();
  const lines = [...rows.map((row, r) => row.map((_, c) => r * width + c)), ...rows[0]!.map((_, c) => rows.map((_row, r) => r * width + c))];
  return { counts, sums: lines.map((plus) => ({ plus, minus: [], total: total(plus, counts) })) };
}

/** One row of counts with their total told. */
export const oneRow = (counts: readonly number[]): CountTable =>
  ({ counts, sums: [{ plus: [...counts.keys()], minus: [], total: counts.reduce((a, b) => a + b, 0) }] });
