import { dayOf } from '../../contract/calendarDay';
import type { PagedColumn } from '../../intake/binary/pagedColumn';
import type { NumberColumn, NumberType } from '../newColumn';
import { firstDay, lastDay, type TypedField } from './typedColumns';

export const earliest = dayOf(firstDay), latest = dayOf(lastDay);
export const least = 1e-9; // nearer to 0, the engine's text of a number has an exponent, which not every field may have

type Numbers = (PagedColumn & { readonly kind: 'days' | 'numbers' })['numbers'];

/** Every row has nothing, or a day or number as its field may have it. */
export function allFit({ kind, min, max }: TypedField, of: 'days' | 'numbers', numbers: Numbers, places: Int32Array): boolean {
  const [lowest, highest] = of === 'days' ? [earliest, latest] : [min, max];
  if (lowest === null || highest === null || (of === 'days' ? kind !== 'date' : kind !== 'integer' && kind !== 'number')) return false;
  for (let i = 0; i < places.length; i++) {
    if (places[i]! < 0) continue;
    const x = numbers[places[i]!]!;
    if (!(x >= lowest && x <= highest && (Number.isInteger(x) || (kind === 'number' && Math.abs(x) >= least)))) return false;
  }
  return true;
}

/** Row i holds number `places[i]`, or null where the place is −1. */
export function numbersAt(name: string, type: Exclude<NumberType, 'UTINYINT'>, numbers: Numbers, places: Int32Array): NumberColumn {
  const values = type === 'DOUBLE' ? new Float64Array(places.length) : new Int32Array(places.length), valid = new Uint8Array((places.length + 7) >> 3);
  let known = 0;
  for (let i = 0; i < places.length; i++) {
    const place = places[i]!;
    if (place < 0) continue;
    values[i] = numbers[place]!;
    valid[i >> 3]! |= 1 << (i & 7);
    known++;
  }
  return { name, type, values, valid: known === places.length ? null : valid } as NumberColumn;
}
