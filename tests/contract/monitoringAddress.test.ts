import { describe, expect, it } from 'vitest';
import { fromMonitoringAddress, toMonitoringAddress } from '@/lib/contract/monitoringAddress';
import { MonitoringQuestion } from '@/lib/contract/monitoringQuestion';

describe('the address of a chart over time', () => {
  it.each([
    {},
    { kind: 'surgeon', ratio: 1.5, falseAlarm: 0.01, overYears: 3, looks: 'month', restart: 'afterSignal' },
    { kind: 'component', role: 'humeral_stem', model: 'H-SHO-02', outcome: { ofRoleOnly: true, reasons: ['infection'] }, reviews: ['2015-01-31', '2019-06-30'] },
    { firstDay: '2010-01-01', lastDay: '2020-12-31', lagDays: 0, adjust: [], histories: 2000, seed: 7, cohort: { classes: ['reverse_total'], minAge: 60 } },
  ])('brings back what was asked: %o', (asked) => {
    const question = MonitoringQuestion.parse(asked);
    expect(fromMonitoringAddress(toMonitoringAddress(question))).toEqual({ status: 'ok', question });
  });

  it('asks the usual question where it says nothing', () => {
    expect(fromMonitoringAddress('')).toEqual({ status: 'ok', question: MonitoringQuestion.parse({}) });
  });

  it.each([
    ['of=hospital&hospital=H044', '“hospital” is not a parameter of the address.'],
    ['of=hospital&surgeon=S0219', '“surgeon” is not a parameter of the address.'],
    ['ratio=1', '“ratio” in the address'],
    ['ratio=11', '“ratio” in the address'],
    ['from=2020-01-01&to=2019-01-01', '“from” in the address is “2020-01-01”: firstDay must be before lastDay.'],
    ['review=2020-01-01&review=2019-01-01', '“review” in the address is “2020-01-01”, “2019-01-01”: reviews must ascend.'],
    ['review=2020-02-30', '“review'],
    ['role-only=yes', '“role-only” in the address is “yes”: only the chart of a component can count revisions of that component alone.'],
  ])('refuses %s', (search, problem) => {
    const asked = fromMonitoringAddress(search);
    expect(asked.status === 'refused' && asked.problems.join(' ')).toContain(problem);
  });
});
