import { describe, expect, it } from 'vitest';
import { daysBetween } from '../../lib/engine/load/daysBetween';
import { wordsOf, type Words } from '../../lib/intake/binary/words';

const encoder = new TextEncoder(), decoder = new TextDecoder();
const words = (...texts: string[]): Words => wordsOf(texts.map((text) => encoder.encode(text)));
const textsOf = ({ bytes, starts, ends }: Words): string[] => Array.from(starts, (start, i) => decoder.decode(bytes.subarray(start, ends[i])));

describe('days that are likely to come', () => {
  // The calendar: 2000 was a leap year, 1900 was none (ISO 8601 uses the proleptic Gregorian calendar).
  it.each([
    ['a leap year', ['2000-03-02', '2000-02-27'], ['2000-02-27', '2000-02-28', '2000-02-29', '2000-03-01', '2000-03-02']],
    ['none', ['1900-02-27', '1900-03-01'], ['1900-02-27', '1900-02-28', '1900-03-01']],
    ['the turn of a year', ['2014-12-30', '2015-01-01'], ['2014-12-30', '2014-12-31', '2015-01-01']],
    ['one day', ['2014-05-06'], ['2014-05-06']],
  ])('are all between the first and the last: %s', (_, met, days) => {
    expect(textsOf(daysBetween(words(...met)))).toEqual(days);
  });

  it.each([
    ['no words', []],
    ['a word that is no day', ['2014-05-06', 'unknown']],
    ['another order of day, month and year', ['06-05-2014']],
    ['another way of writing them', ['2014/05/06']],
    ['a time of day', ['2014-05-06T00:00']],
    ['a day that no calendar has', ['2014-02-30']],
    ['a month that no calendar has', ['2014-13-01']],
    ['a letter for a digit', ['2014-O5-06']],
    ['few days far from each other', ['1901-01-01', '2014-05-06']],
  ])('are not told from %s', (_, met) => {
    expect(daysBetween(words(...met)).starts).toHaveLength(0);
  });
});
