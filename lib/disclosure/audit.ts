import { solve } from 'yalps';
import { partsOf, type CountAt, type CountTable, type Sum } from './countTable';

/** Between which numbers a hidden count must lie, given all that is told. */
export interface Interval { readonly lower: number; readonly upper: number }

export const widthOf = ({ lower, upper }: Interval): number => upper - lower;

/** What the told counts leave of a sum to the hidden ones. */
interface Remainder { readonly coefficients: ReadonlyMap<CountAt, number>; readonly total: number }

export function remainderOf({ plus, minus, total }: Sum, counts: readonly number[], isHidden: (at: CountAt) => boolean): Remainder {
  const coefficients = new Map<CountAt, number>();
  let left = total;
  const take = (at: CountAt, sign: number) => {
    if (isHidden(at)) coefficients.set(at, (coefficients.get(at) ?? 0) + sign);
    else left -= sign * counts[at]!;
  };
  plus.forEach((at) => { take(at, 1); });
  minus.forEach((at) => { take(at, -1); });
  return { coefficients, total: left };
}

const tidy = (value: number): number => (Math.abs(value - Math.round(value)) < 1e-6 ? Math.round(value) + 0 : value); // no negative zero

/** The lowest and highest value of one count by linear programming, all hidden counts at least 0 and every sum kept. */
function byProgramming(at: CountAt, members: readonly CountAt[], remainders: readonly Remainder[]): Interval {
  const model = {
    objective: 'it' as const,
    constraints: remainders.map(({ total }, s) => [`s${s}`, { equal: total }] as const),
    variables: members.map((member) => [member, [
      ...(member === at ? [['it', 1] as const] : []),
      ...remainders.flatMap(({ coefficients }, s) => { const c = coefficients.get(member) ?? 0; return c === 0 ? [] : [[`s${s}`, c] as const]; }),
    ]] as const),
  };
  const bound = (direction: 'minimize' | 'maximize', unbounded: number): number => {
    const { status, result } = solve<CountAt>({ ...model, direction });
    if (status === 'optimal') return tidy(result);
    if (status === 'unbounded') return unbounded;
    throw new Error(`the bounds of a hidden count could not be found: ${status}`);
  };
  return { lower: bound('minimize', 0), upper: bound('maximize', Infinity) };
}

/** One sum of counts only: each can be anything from what the others can't make up to the whole. */
const ofOneSum = (hidden: number, { total }: Remainder): Interval => ({ lower: hidden === 1 ? total : 0, upper: total });

/**
 * The interval that each of the hidden counts asked for can be computed to lie in from the told ones and the sums (Fellegi 1972, J Am Stat
 * Assoc 67:7; Hundepool et al. 2012, Statistical Disclosure Control). Counts are taken to be known to be 0 or more, and nothing else.
 */
export function audit(table: CountTable, hidden: ReadonlySet<CountAt>, asked: Iterable<CountAt>): ReadonlyMap<CountAt, Interval> {
  const isHidden = (at: CountAt) => hidden.has(at) || table.untold?.has(at) === true;
  const wanted = new Set(asked), intervals = new Map<CountAt, Interval>();
  for (const at of wanted) intervals.set(at, { lower: isHidden(at) ? 0 : table.counts[at]!, upper: isHidden(at) ? Infinity : table.counts[at]! });
  for (const { members, sums } of connected(table, isHidden)) {
    const here = members.filter((at) => wanted.has(at));
    if (here.length === 0) continue;
    const [only] = sums, simple = sums.length === 1 && only !== undefined && [...only.coefficients.values()].every((c) => c === 1);
    for (const at of here) intervals.set(at, simple ? ofOneSum(members.length, only) : byProgramming(at, members, sums));
  }
  return intervals;
}

/** Hidden counts that hang together by what the told ones leave of the sums. */
function connected(table: CountTable, isHidden: (at: CountAt) => boolean) {
  const remainders = table.sums.map((sum) => remainderOf(sum, table.counts, isHidden)).filter(({ coefficients }) => [...coefficients.values()].some((c) => c !== 0));
  const parts = partsOf({ counts: table.counts, sums: remainders.map(({ coefficients, total }) => ({ plus: [...coefficients.keys()], minus: [], total })) });
  return parts.map(({ members }) => ({ members, sums: remainders.filter(({ coefficients }) => coefficients.has(members[0]!) || members.some((at) => coefficients.has(at))) }));
}
