/** A count of people, 0 or more, by its position among the counts of a table. */
export type CountAt = number;

/** A sum that is known: the counts of `plus` less those of `minus` make `total`. */
export interface Sum {
  readonly plus: readonly CountAt[];
  readonly minus: readonly CountAt[];
  readonly total: number;
}

/** Counts, what they sum to, and which of them are told nowhere anyhow. */
export interface CountTable {
  readonly counts: readonly number[];
  readonly sums: readonly Sum[];
  readonly untold?: ReadonlySet<CountAt>;
  /** Told in some other place, so that hiding them here helps nothing. */
  readonly fixed?: ReadonlySet<CountAt>;
}

export const isSmallCount = (count: number, smallest: number): boolean => count > 0 && count < smallest;

/** Counts that hang together by sums, each part with its sums; counts in no sum are left out. */
export function partsOf({ counts, sums }: CountTable): readonly { readonly members: readonly CountAt[]; readonly sums: readonly Sum[] }[] {
  const root = Array.from(counts.keys());
  const find = (at: CountAt): CountAt => { let top = at; while (root[top] !== top) top = root[top]!; return top; };
  for (const { plus, minus } of sums) for (const at of [...plus, ...minus]) root[find(at)] = find(plus[0] ?? minus[0]!);
  const parts = new Map<CountAt, { members: Set<CountAt>; sums: Sum[] }>();
  for (const sum of sums) {
    const first = sum.plus[0] ?? sum.minus[0];
    if (first === undefined) continue;
    const part = parts.get(find(first)) ?? { members: new Set(), sums: [] };
    parts.set(find(first), part);
    part.sums.push(sum);
    for (const at of [...sum.plus, ...sum.minus]) part.members.add(at);
  }
  return [...parts.values()].map(({ members, sums: own }) => ({ members: [...members], sums: own }));
}
