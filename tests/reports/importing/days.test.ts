import { describe, expect, it } from 'vitest';
import { dateOrders } from '../../../lib/contract/mapping';
import { dayQuestion, dayRead, tellingDay } from '../../../lib/reports/importing/days';

describe('the order in which a day is written', () => {
  it.each([
    ['03/04/2015', 'day-month-year', '3 April 2015'],
    ['03/04/2015', 'month-day-year', '4 March 2015'],
    ['3.4.15', 'day-month-year', '3 April 15'],
    ['2015-04-03', 'year-month-day', '3 April 2015'],
    ['2015-04-03', 'day-month-year', null],
    ['03/14/2015', 'day-month-year', null],
    ['03/04/2015', 'year-month-day', null],
    ['soon', 'day-month-year', null],
  ] as const)('%s read as %s is %s', (written, order, day) => {
    expect(dayRead(written, order)).toBe(day);
  });

  it('is asked with a day of the file that the orders read differently', () => {
    const orders = ['day-month-year', 'month-day-year'] as const;
    expect(tellingDay(['01/01/2010', '07/07/2012', '03/04/2015'], orders)).toBe('03/04/2015');
    expect(dayQuestion('03/04/2015', orders)).toBe('Is 03/04/2015 3 April 2015 or 4 March 2015?');
  });

  it('is asked in words where no day can be shown', () => {
    expect(tellingDay([], dateOrders)).toBeNull();
    expect(dayQuestion(null, dateOrders)).toBe('In which order are day, month and year written?');
  });
});
