import { dateOf, dayOf } from '../../contract/calendarDay';
import { wordsOf, type Words } from '../../intake/binary/words';

const dayBytes = 10, mostDays = 36_525, mostMissing = 8; // a century; days between for each that is there
const written = /^\d{4}-\d\d-\d\d$/, decoder = new TextDecoder(), encoder = new TextEncoder();

/**
 * All days from the first to the last, where the words are days as ISO 8601 writes them (2014-05-06); nothing where some word is none, or days
 * are so far from each other that most of those between will never be met.
 */
export function daysBetween({ bytes, starts, ends }: Words): Words {
  let first = Infinity, last = -Infinity;
  for (let i = 0; i < starts.length; i++) {
    const start = starts[i]!, end = ends[i]!, day = end - start === dayBytes ? dayIn(decoder.decode(bytes.subarray(start, end))) : NaN;
    if (Number.isNaN(day)) return wordsOf([]);
    if (day < first) first = day;
    if (day > last) last = day;
  }
  const days = last - first + 1;
  if (!(days >= 1 && days <= Math.min(mostDays, mostMissing * starts.length))) return wordsOf([]);
  return wordsOf(Array.from({ length: days }, (_, i) => encoder.encode(dateOf(first + i))));
}

/** NaN for what is no day, or one that no calendar has. */
function dayIn(text: string): number {
  const day = written.test(text) ? dayOf(text) : NaN;
  return Number.isNaN(day) || dateOf(day) !== text ? NaN : day;
}
