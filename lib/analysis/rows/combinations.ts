import type { Columns, Expression, Positions } from '../../engine/columns';
import { addendOf, eachBlock } from './addends';

/** The combination of several factors that each row of `followup` has; combinations are numbered as they come. */
export interface Combinations {
  readonly numbers: Positions;
  /** Per number: the combination, packed by the radices (see `unpackPattern`). */
  readonly packed: Int32Array;
  readonly radices: readonly number[];
}

const most = 2 ** 24; // 64 MB for numbering them

/** Kept with the columns, as filters do not change it; null where more combinations can be than are numbered here. */
export function combinations(columns: Columns, factors: readonly Expression[]): Promise<Combinations | null> {
  return columns.get(`combinations ${JSON.stringify(factors)}`, async () => {
    const coded = [];
    for (const factor of factors) coded.push(await columns.coded(factor));
    const radices = coded.map(({ values }) => values.reduce((highest, value) => (value > highest ? value : highest), -1) + 2);
    const possible = radices.reduce((product, radix) => product * radix, 1);
    if (possible > most) return null;
    const addends = coded.map((factor, f) => {
      const stride = radices.slice(f + 1).reduce((product, radix) => product * radix, 1);
      return addendOf(factor, (value) => (Number.isNaN(value) ? 0 : (value + 1) * stride));
    });
    const { positions: { length } } = await columns.column('exit_day'), numbers = new Int32Array(length), numberOf = new Int32Array(possible), packed: number[] = []; // one more than its number
    eachBlock(length, addends, (sums, from) => {
      for (let i = 0; i < sums.length; ++i) {
        let number = numberOf[sums[i]!]!;
        if (number === 0) numberOf[sums[i]!] = number = packed.push(sums[i]!);
        numbers[from + i] = number - 1;
      }
    });
    const narrow = packed.length <= 2 ** 8 ? new Uint8Array(numbers) : packed.length <= 2 ** 16 ? new Uint16Array(numbers) : numbers;
    return { numbers: narrow, packed: Int32Array.from(packed), radices };
  }, (kept) => kept?.numbers.byteLength ?? 1);
}
