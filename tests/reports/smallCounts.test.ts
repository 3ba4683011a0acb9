import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { View } from '@/lib/contract/view';
import { comparisonReport } from '@/lib/reports/comparisonReport';
import { attritionTable, caseMixTable, groupsTable, percentTable, ratiosTable } from '@/lib/reports/comparisonTables';
import { toCsv } from '@/lib/reports/csv';
import { protectSmallCounts } from '@/lib/reports/smallCounts';
import { text, type ReportTable } from '@/lib/reports/table';
import { at, cox, estimate, pegsAndKeels } from './pegsAndKeels';

const outside = (table: ReportTable) => protectSmallCounts(table).rows.map(({ cells }) => cells.map((cell) => cell.outside ?? cell.text));

describe('what leaves the page', () => {
  it('keeps a small count back, and the estimate that gives it away', () => {
    const table = percentTable(pegsAndKeels({ atTimes: [at(1, 'all_poly_pegged', 3, estimate(0.1, 0.03, 0.3)), at(2, 'all_poly_pegged', 9, estimate(0.3, 0.15, 0.6))] }));
    expect(outside(table)).toEqual([
      ['1 year', 'All-polyethylene pegged', '500', '<5', 'withheld', 'withheld', 'withheld'],
      ['2 years', 'All-polyethylene pegged', '500', '9', '0.3', '0.2', '0.6'],
    ]);
    expect(protectSmallCounts(table).rows[0]?.cells[3]?.text, 'the page itself shows it').toBe('3');
  });

  it('names no small count in the notes and reasons of an answer either', () => {
    const scarce = cox({ leftOut: [{ covariate: 'ASA grade', missing: 3 }], notes: ['fewer than 10 revisions per coefficient (3 for 5): estimates and limits are unreliable'] });
    const report = comparisonReport(pegsAndKeels({ adjusted: scarce, logRank: { status: 'notEstimable', reason: 'no revisions among the 4 procedures of one group' } }), View.parse({}));
    if (report.status !== 'ok') throw new Error(report.reason);
    expect([...report.notes, report.logRank]).toEqual([
      'The adjusted model uses complete records only: 11,113 procedures. Not recorded: ASA grade in fewer than 5.',
      'Fewer than 10 revisions per coefficient (fewer than 5 for 5): estimates and limits are unreliable.',
      "The log-rank test can't be made: no revisions among the fewer than 5 procedures of one group.",
    ]);
  });

  it('tells of four revisions in all neither how many they are, nor how few procedures the largest user did', () => {
    const few = cox({ procedures: 72, events: 4 });
    expect(ratiosTable('ratios', 'Hazard ratios', pegsAndKeels(), few).method).toContain('72 procedures, fewer than 5 revised.');
    const [pegged] = pegsAndKeels().groups, fluted = { ...pegged!, procedures: 21, patients: 21, largestHospitalShare: (100 * 2) / 21, largestSurgeonShare: (100 * 5) / 21 };
    expect(outside(groupsTable(pegsAndKeels({ groups: [fluted] })))[0]!.slice(-4)).toEqual(['60', 'withheld', '240', '23.8']);
  });

  it('says who joins later, since the first number at risk would read as if some had been lost', () => {
    const noted = (first: number) => { const report = comparisonReport(pegsAndKeels({ riskTable: { days: [0], atRisk: [[3000], [first]] } }), View.parse({})); return report.status === 'ok' ? report.notes : []; };
    expect(noted(3000)).toEqual([]);
    expect(noted(2938)).toEqual(['62 procedures are followed from a later day only, and among those at risk from then on.']);
    expect(noted(2998)).toEqual(['Fewer than 5 procedures are followed from a later day only, and among those at risk from then on.']);
  });

  it('keeps a second count back where the total would give the first away', () => {
    const mix = (counts: readonly (readonly [number, number])[], largestDifference: number) => [{
      characteristic: 'asa', label: 'ASA grade', largestDifference,
      levels: counts.map((pair, i) => ({ key: `${i}`, label: `ASA ${i + 1}`, counts: pair, percents: pair.map((n) => n / 10) })),
    }];
    expect(outside(caseMixTable(pegsAndKeels({ caseMix: mix([[700, 20], [280, 30], [17, 40], [3, 10]], 0.68 / Math.sqrt((0.7 * 0.3 + 0.02 * 0.98) / 2)) })))).toEqual([
      ['ASA grade', 'ASA 1', '700', '70.0', '20', '2.0', '2.01'],
      ['', 'ASA 2', '280', '28.0', '30', '3.0', ''],
      ['', 'ASA 3', 'withheld', 'withheld', '40', '4.0', ''],
      ['', 'ASA 4', 'withheld', 'withheld', '10', '1.0', ''],
    ]);
  });

  it('a few left out on the way to the cohort cannot be had by subtraction', () => {
    const steps = (excluded: readonly number[]) => excluded.reduce<{ label: string; excluded: number; remaining: number }[]>(
      (all, n, i) => [...all, { label: `step ${i}`, excluded: n, remaining: (all.at(-1)?.remaining ?? 1000) - n }], []);
    fc.assert(fc.property(fc.array(fc.integer({ min: 0, max: 40 }), { minLength: 2, maxLength: 6 }), (excluded) => {
      const all = steps([0, ...excluded]);
      const shown = outside(attritionTable(all)).map(([, left, remaining]) => [left, remaining]);
      // R(i − 1) − R(i) = E(i): what an outsider learns by filling in until nothing more follows
      const remaining = shown.map(([, r]) => (r === undefined || /\D/.test(r.replace(',', '')) ? null : Number(r.replace(',', ''))));
      const left = shown.map(([e]) => (e === undefined || e === '' || /\D/.test(e) ? null : Number(e)));
      all.forEach(() => {
        for (let i = 1; i < all.length; ++i) {
          const [before, after, out] = [remaining[i - 1] ?? null, remaining[i] ?? null, left[i] ?? null];
          if (before !== null && after !== null) left[i] = before - after;
          if (before !== null && out !== null) remaining[i] = before - out;
          if (after !== null && out !== null) remaining[i - 1] = after + out;
        }
      });
      all.forEach((step, i) => { if (i > 0 && step.excluded > 0 && step.excluded < 5) expect(left[i], JSON.stringify(shown)).toBeNull(); });
    }));
  });
});

describe('a table as a file', () => {
  const table: ReportTable = {
    name: 'models', title: 'Models', method: 'Counted.', columns: [{ label: 'Model', numeric: false }, { label: 'Percent', numeric: true }],
    rows: [{ cells: [text('=HYPERLINK("x")'), { text: '5.3', value: 5.25 }] }, { cells: [text('A, "B"'), { text: '–', value: NaN }] }, { cells: [text('C'), { text: '-0.4', value: -0.4 }] }],
  };
  it('holds full numbers, runs no formula, and is headed by where it came from', () => {
    expect(toCsv(protectSmallCounts(table), [{ label: 'Source', text: 'Harbour registry, version 3' }])).toBe([
      '# Table: Models', '# Method: Counted.', '"# Source: Harbour registry, version 3"',
      '"# Small counts: Counts from 1 to 4, and what could be computed back to them, are withheld."',
      'Model,Percent', `"'=HYPERLINK(""x"")",5.25`, '"A, ""B""",', 'C,-0.4', '',
    ].join('\r\n'));
  });
});
