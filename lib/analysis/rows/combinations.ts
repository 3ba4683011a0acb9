import { patternRadices, possiblePatterns } from '../../cohort/patterns';
import type { Coded, Columns, Expression, Positions } from '../../engine/columns';
import { addendOf, eachBlock, type Addend } from './addends';

/** The combination of several factors that each row of `followup` has, numbered in their order. */
export interface Combinations {
  readonly numbers: Positions;
  /** Per number: the combination, packed by the radices (see `unpackPattern`), ascending. */
  readonly packed: Float64Array;
  readonly radices: readonly number[];
}

/** Kept with the columns, as filters do not change it. Throws a RangeError where the combinations are too many to be numbered. */
export function combinations(columns: Columns, factors: readonly Expression[]): Promise<Combinations> {
  return columns.get(`combinations ${JSON.stringify(factors)}`, async () => {
    const coded: Coded[] = [];
    for (const factor of factors) coded.push(await columns.coded(factor));
    const radices = patternRadices(coded.map(({ values }) => values.reduce((highest, value) => (value > highest ? value : highest), -1)));
    possiblePatterns(radices);
    const { positions: { length } } = await columns.column('exit_day'), { numbers, firstRow } = joined(coded, radices, length);
    const packedAt = (row: number): number => coded.reduce((packed, { positions, values }, f) => packed * radices[f]! + codeOf(values[positions[row]!]!), 0);
    const unordered = Float64Array.from(firstRow, packedAt), packed = unordered.toSorted(), places = new Map([...packed].map((value, place) => [value, place]));
    const placeOf = Int32Array.from(unordered, (value) => places.get(value)!);
    const ordered = packed.length <= 2 ** 8 ? new Uint8Array(length) : packed.length <= 2 ** 16 ? new Uint16Array(length) : new Int32Array(length);
    for (let row = 0; row < length; ++row) ordered[row] = placeOf[numbers[row]!]!;
    return { numbers: ordered, packed, radices };
  }, ({ numbers, packed }) => numbers.byteLength + packed.byteLength);
}

const codeOf = (value: number): number => (Number.isNaN(value) ? 0 : value + 1);

interface Joined { readonly numbers: Int32Array; readonly firstRow: readonly number[] }
const mostAtOnce = 2 ** 22; // combinations that a table to number them has room for, as long as one factor more does not need more

/** Numbers the combinations as they come. Factors are taken together as far as a table has room for, then what occurs is numbered anew; large ones come first. */
function joined(coded: readonly Coded[], radices: readonly number[], rows: number): Joined {
  const order = [...radices.keys()].sort((a, b) => radices[b]! - radices[a]!);
  let known: Joined = { numbers: new Int32Array(rows), firstRow: [0] }, together: { readonly factor: Coded; readonly stride: number }[] = [], size = 1;
  const number = (): void => {
    const before: Addend = { positions: known.numbers, adds: Int32Array.from(known.firstRow, (_, n) => n) };
    known = numbered(rows, [before, ...together.map(({ factor, stride }) => addendOf(factor, (value) => codeOf(value) * stride))], size);
  };
  for (const f of order) {
    if (together.length > 0 && size * radices[f]! > mostAtOnce) {
      number();
      together = [];
      size = known.firstRow.length;
    }
    together.push({ factor: coded[f]!, stride: size });
    size *= radices[f]!;
  }
  number();
  return known;
}

function numbered(rows: number, addends: readonly Addend[], below: number): Joined {
  const numbers = new Int32Array(rows), numberOf = new Int32Array(below), firstRow: number[] = []; // one more than its number
  eachBlock(rows, addends, (sums, from) => {
    for (let i = 0; i < sums.length; ++i) {
      let number = numberOf[sums[i]!]!;
      if (number === 0) numberOf[sums[i]!] = number = firstRow.push(from + i);
      numbers[from + i] = number - 1;
    }
  });
  return { numbers, firstRow };
}
