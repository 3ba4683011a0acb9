import { expect, it } from 'vitest';
import { describeColumn } from '../../../lib/intake/columns';
import { latestDay } from '../../../lib/reports/importing/latestDay';
import { smallDraft, source } from './smallDraft';

const days = (name: string, cells: readonly string[]) => describeColumn(name, cells, '.').column;

it.each([
  [['2015-04-03', '2014-12-31', ''], '2015-04-03'], [['31.12.2014', '3.4.2015'], '2015-04-03'], [['12/31/2014', '4/3/2015'], '2015-04-03'], [['20141231', '20150403'], '2015-04-03'],
  [['03/04/2015', '05/06/2014'], null], // day or month first?
  [['left', 'right'], null],
])('the latest day of %j is %s', (cells, latest) => {
  expect(days('day', cells).latest).toBe(latest);
});

it('the latest day of revisions, deaths and follow-up is suggested with its column; a birth date is none', () => {
  const draft = smallDraft([{
    found: source('ops.csv', [days('op', ['2015-04-03']), days('end', ['2019-01-31', '2018-02-01']), days('made', ['2024-05-05'])]), table: 'procedures',
    fields: { procedure_date: { column: 'op', missing: [] }, follow_up_end: { column: 'end', missing: [] }, region: { column: 'made', missing: [] } },
  }]);
  expect(latestDay(draft)).toEqual({ day: '2019-01-31', column: 'end' });
});
