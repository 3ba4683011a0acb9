import { describe, expect, it } from 'vitest';
import { percentAt, percentCurve } from '@/lib/stats/cumulativePercentRevision';
import { eventTable } from '@/lib/stats/eventTable';
import { kaplanMeier } from '@/lib/stats/kaplanMeier';
import { medianFollowUp } from '@/lib/stats/medianFollowUp';
import { stopOf } from '@/lib/stats/stopRule';
import type { LimitScale } from '@/lib/stats/survivalLimits';
import { expectClose } from './closeTo';
import { casesOf, cellsOf, type Columns } from './fixture';

interface Case {
  readonly name: string;
  readonly input: Columns;
  readonly expected: {
    readonly time: number[]; readonly atRisk: number[]; readonly events: number[]; readonly percent: number[]; readonly stdErr: (number | null)[];
    readonly limits: readonly { readonly scale: LimitScale; readonly lower: (number | null)[]; readonly upper: (number | null)[] }[];
    readonly medianFollowUp: number | null;
  };
}

describe('Kaplan–Meier against survfit of R survival', () => {
  it.each(casesOf('kaplanMeier') as Case[])('$name', ({ input, expected }) => {
    const km = kaplanMeier(eventTable(cellsOf(input))), { table } = km;
    expect(Array.from(table.time)).toEqual(expected.time);
    expect(Array.from(table.atRisk)).toEqual(expected.atRisk);
    expect(Array.from(table.events)).toEqual(expected.events);
    const stop = stopOf(km, { largestStep: 0, minAtRisk: 0 });
    for (const { scale, lower, upper } of expected.limits) {
      const curve = percentCurve(km, { scale });
      expectClose(curve.percent, expected.percent, 1e-12);
      expectClose(curve.standardError, expected.stdErr, 1e-12);
      // without an event yet R gives no limit (log-log) or limits of no width; here they are exact
      const compared = Array.from(curve.percent.keys()).slice(curve.firstEvent).filter((j) => curve.percent[j]! < 100);
      expectClose(compared.map((j) => curve.lower[j]!), compared.map((j) => lower[j]!), 1e-10);
      expectClose(compared.map((j) => curve.upper[j]!), compared.map((j) => upper[j]!), 1e-10);
      for (const j of compared) {
        expect(percentAt(km, stop, table.time[j]!, { scale }).estimate).toMatchObject({ status: 'ok', percent: curve.percent[j], lower: curve.lower[j], upper: curve.upper[j] });
      }
    }
    if (expected.medianFollowUp !== null) expect(medianFollowUp(table)).toEqual({ status: 'ok', time: expected.medianFollowUp });
  });
});
