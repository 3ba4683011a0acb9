import { smoothedHazard } from '../../stats/smoothedHazard';
import type { TableOptions } from '../arguments';
import { readableByAll, type GroupCurve } from './kaplanMeier';

/** Events per unit of the table's time, at 101 times of each group. */
export function smoothedHazards(curves: readonly GroupCurve[], { bandwidth: asked }: TableOptions) {
  const bandwidth = asked ?? readableByAll(curves) / 4;
  return {
    bandwidth,
    groups: curves.map(({ group, km: { table }, stop }) => {
      if (!(bandwidth > 0 && bandwidth < Infinity)) return { group, curve: [], status: 'notEstimable', reason: 'no follow-up' };
      const smooth = smoothedHazard(table, { bandwidth, end: stop.time });
      if (smooth.status !== 'ok') return { group, curve: [], ...smooth };
      const { time, hazard, lower, upper, atRisk } = smooth;
      return {
        group,
        curve: Array.from(time, (t, k) => ({ time: t, hazard: hazard[k]!, lower: lower[k]!, upper: upper[k]!, atRisk: atRisk[k]! })),
        status: 'ok',
      };
    }),
  };
}
