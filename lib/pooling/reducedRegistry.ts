import type { RegistryCounts } from '../contract/registryCounts';

/** A registry by cells, levels by their keys, as its file holds it. */
export type ReducedRegistry = Pick<RegistryCounts, 'groups' | 'patterns' | 'cells'>;
export type Cell = { readonly [K in keyof ReducedRegistry['cells']]: number };

export const cellsIn = ({ cells }: Pick<ReducedRegistry, 'cells'>): readonly Cell[] =>
  cells.pattern.map((pattern, i) => ({ pattern, entry: cells.entry[i]!, after: cells.after[i]!, exit: cells.exit[i]!, event: cells.event[i]!, count: cells.count[i]! }));

/** As columns, with cells that differ by nothing but their count as one, in a fixed order. */
export function cellColumns(cells: Iterable<Cell>): ReducedRegistry['cells'] {
  const joined = new Map<string, Cell>();
  for (const cell of cells) {
    const key = [cell.pattern, cell.entry, cell.after, cell.exit, cell.event].join(' '), before = joined.get(key);
    joined.set(key, before === undefined ? cell : { ...cell, count: before.count + cell.count });
  }
  const sorted = [...joined.values()].sort((a, b) => a.pattern - b.pattern || a.entry - b.entry || a.exit - b.exit || a.after - b.after || a.event - b.event);
  return {
    pattern: sorted.map(({ pattern }) => pattern), entry: sorted.map(({ entry }) => entry), after: sorted.map(({ after }) => after),
    exit: sorted.map(({ exit }) => exit), event: sorted.map(({ event }) => (event === 1 ? 1 : 0)), count: sorted.map(({ count }) => count),
  };
}

/** Procedures and events of interest by a number that each cell has; cells with a negative one are left out. */
export function countsBy(reduced: ReducedRegistry, size: number, numberOf: (cell: Cell) => number): readonly { readonly procedures: number; readonly events: number }[] {
  const counts = Array.from({ length: size }, () => ({ procedures: 0, events: 0 }));
  for (const cell of cellsIn(reduced)) {
    const own = counts[numberOf(cell)];
    if (own === undefined) continue;
    own.procedures += cell.count;
    if (cell.event === 1) own.events += cell.count;
  }
  return counts;
}

/** With the first `factors` factors only, and without the procedures of the groups that `keepsGroup` refuses. */
export function narrowed({ groups, patterns, cells }: ReducedRegistry, factors: number, keepsGroup: (key: string) => boolean): ReducedRegistry {
  const kept = groups.filter(keepsGroup), numbers = new Map<string, number>(), firsts: number[] = [];
  const newPattern = patterns.group.map((group, p) => {
    const at = kept.indexOf(groups[group]!);
    if (at < 0) return -1;
    const key = [at, ...patterns.factors.slice(0, factors).map(({ level }) => level[p])].join(' ');
    const number = numbers.get(key) ?? firsts.push(p) - 1;
    numbers.set(key, number);
    return number;
  });
  return {
    groups: kept,
    patterns: {
      group: firsts.map((p) => kept.indexOf(groups[patterns.group[p]!]!)),
      factors: patterns.factors.slice(0, factors).map((factor) => ({ ...factor, level: firsts.map((p) => factor.level[p] ?? null) })),
    },
    cells: cellColumns(cellsIn({ cells }).filter(({ pattern }) => newPattern[pattern]! >= 0).map((cell) => ({ ...cell, pattern: newPattern[cell.pattern]! }))),
  };
}
