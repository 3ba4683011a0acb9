import { solve } from 'yalps';
import { audit, widthOf } from './audit';
import { isSmallCount, partsOf, type CountAt, type CountTable, type Sum } from './countTable';

/** Counts that are not told, so that no small one can be computed to lie in an interval narrower than the smallest that may be told. */
export interface Suppression {
  readonly hidden: ReadonlySet<CountAt>;
  /** Small counts that the known sums give away whatever is hidden. */
  readonly givenAway: readonly CountAt[];
}

const mostChecked = 60; // counts of a part: in larger ones what is hidden in vain stays hidden

/** A count costs what it tells. */
const costOf = (count: number): number => count + 1;

/**
 * Hides the small counts and, of the others, the cheapest that are needed: per small count a linear programme finds the counts by which it can
 * be moved up and down far enough, those hidden already at no cost (Kelly, Golden & Assad 1992, Networks 22:397); then every interval is
 * computed, and what turns out not to be needed is told after all. A good choice, not always the cheapest there is.
 */
export function suppress(table: CountTable, smallest: number): Suppression {
  const { counts, untold } = table, small = Array.from(counts.keys()).filter((at) => isSmallCount(counts[at]!, smallest));
  const hidden = new Set(small.filter((at) => untold?.has(at) !== true)), givenAway: CountAt[] = [];
  for (const { members, sums } of partsOf(table)) {
    const own = members.filter((at) => isSmallCount(counts[at]!, smallest)), part: CountTable = { ...table, sums };
    if (own.length === 0) continue;
    const needed = new Set<CountAt>();
    const pinned = (more: ReadonlySet<CountAt>): readonly CountAt[] =>
      [...audit(part, new Set([...hidden, ...more]), own)].filter(([, interval]) => widthOf(interval) < smallest).map(([at]) => at);
    const hopeless = new Set<CountAt>();
    for (let at = pinned(needed)[0]; at !== undefined; at = pinned(needed).find((one) => !hopeless.has(one))) {
      const more = companionsOf(part, members, at, smallest, (one) => hidden.has(one) || needed.has(one));
      if (more === null || more.length === 0) hopeless.add(at);
      else for (const one of more) needed.add(one);
    }
    if (members.length <= mostChecked) for (const one of [...needed].sort((a, b) => counts[b]! - counts[a]!)) { // tell after all what is not needed, the largest first
      const without = new Set(needed);
      without.delete(one);
      if (pinned(without).every((pin) => hopeless.has(pin))) needed.delete(one);
    }
    for (const one of needed) hidden.add(one);
    givenAway.push(...hopeless);
  }
  return { hidden, givenAway };
}

/** The further counts to hide so that one can be moved up and down by `width` in all; null: there are none. */
function companionsOf(table: CountTable, members: readonly CountAt[], at: CountAt, width: number, isHidden: (at: CountAt) => boolean): readonly CountAt[] | null {
  const { counts, sums, untold, fixed } = table;
  const free = (one: CountAt) => isHidden(one) || untold?.has(one) === true;
  if (sums.length === 1 && sums[0]!.minus.length === 0 && new Set(sums[0]!.plus).size === sums[0]!.plus.length) return inOneSum(counts, members.filter((one) => fixed?.has(one) !== true), at, width, free);
  const moves = ['highest', 'lowest'] as const;
  const variable = (move: (typeof moves)[number], one: CountAt, sign: 1 | -1) => {
    const name = `${move} ${one} ${sign}`, cost = free(one) ? 0 : costOf(counts[one]!);
    const inSum = ({ plus, minus }: Sum) => plus.filter((p) => p === one).length - minus.filter((m) => m === one).length;
    return [name, [
      ['cost', cost + 1e-6] as const,
      ...(sign === -1 ? [[`floor ${move} ${one}`, 1] as const] : []),
      ...(one === at ? [['width', move === 'highest' ? sign : -sign] as const] : []),
      ...sums.flatMap((sum, s) => { const c = inSum(sum); return c === 0 ? [] : [[`${move} sum ${s}`, sign * c] as const]; }),
    ]] as const;
  };
  const solution = solve({
    direction: 'minimize', objective: 'cost',
    constraints: [
      ['width', { min: width }],
      ...moves.flatMap((move) => [
        ...sums.map((_, s) => [`${move} sum ${s}`, { equal: 0 }] as const),
        ...members.map((one) => [`floor ${move} ${one}`, { max: counts[one]! }] as const), // no count falls below 0
      ]),
    ],
    variables: moves.flatMap((move) => members.filter((one) => fixed?.has(one) !== true).flatMap((one) => [variable(move, one, 1), variable(move, one, -1)])),
  });
  if (solution.status !== 'optimal') return null;
  const moved = new Set(solution.variables.filter(([, by]) => by > 1e-6).map(([name]) => Number(name.split(' ')[1])));
  return [...moved].filter((one) => !free(one));
}

/** Two hidden counts of one sum can each be anything up to what they make together. */
function inOneSum(counts: readonly number[], members: readonly CountAt[], at: CountAt, width: number, free: (at: CountAt) => boolean): readonly CountAt[] | null {
  const others = members.filter((one) => one !== at && free(one)), more: CountAt[] = [];
  let together = counts[at]! + others.reduce((sum, one) => sum + counts[one]!, 0), many = others.length;
  for (const one of members.filter((member) => member !== at && !free(member) && counts[member]! > 0).sort((a, b) => counts[a]! - counts[b]!)) {
    if (many > 0 && together >= width) break;
    more.push(one);
    together += counts[one]!;
    ++many;
  }
  return many > 0 && together >= width ? more : null;
}
