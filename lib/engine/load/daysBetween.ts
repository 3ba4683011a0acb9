import { wordsOf, type Words } from '../../intake/binary/words';

const dayBytes = 10, mostDays = 36_525, mostMissing = 8; // a century; days between for each that is there
const digits = [0, 1, 2, 3, 5, 6, 8, 9], hyphens = [4, 7], hyphen = 45, zero = 48;
const dayMilliseconds = 86_400_000, encoder = new TextEncoder();

/**
 * All days from the first to the last, where the words are days as ISO 8601 writes them (2014-05-06); nothing where some word is none, or days
 * are so far from each other that most of those between will never be met.
 */
export function daysBetween({ bytes, starts, ends }: Words): Words {
  let first = Infinity, last = -Infinity;
  for (let i = 0; i < starts.length; i++) {
    const day = dayOf(bytes, starts[i]!, ends[i]!);
    if (Number.isNaN(day)) return wordsOf([]);
    if (day < first) first = day;
    if (day > last) last = day;
  }
  const days = (last - first) / dayMilliseconds + 1;
  if (!(days >= 1 && days <= Math.min(mostDays, mostMissing * starts.length))) return wordsOf([]);
  return wordsOf(Array.from({ length: days }, (_, i) => encoder.encode(new Date(first + i * dayMilliseconds).toISOString().slice(0, dayBytes))));
}

/** Milliseconds since 1970; NaN for what is no day, or one that no calendar has. */
function dayOf(bytes: Uint8Array, start: number, end: number): number {
  if (end - start !== dayBytes || hyphens.some((at) => bytes[start + at] !== hyphen)) return NaN;
  let written = 0;
  for (const at of digits) {
    const digit = bytes[start + at]! - zero;
    if (!(digit >= 0 && digit <= 9)) return NaN;
    written = 10 * written + digit;
  }
  const year = Math.floor(written / 10_000), month = Math.floor(written / 100) % 100, day = written % 100, time = new Date(0).setUTCFullYear(year, month - 1, day);
  return new Date(time).getUTCMonth() === month - 1 && new Date(time).getUTCDate() === day ? time : NaN;
}
