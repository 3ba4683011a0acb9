import { conditionalPercent } from '../../stats/conditionalPercent';
import { percentAt } from '../../stats/cumulativePercentRevision';
import { percentRatio } from '../../stats/percentRatio';
import { percentTest } from '../../stats/percentTest';
import { riskDifference } from '../../stats/riskDifference';
import { restrictedMean, restrictedMeanDifference } from '../../stats/restrictedMean';
import type { TableOptions } from '../arguments';
import { testJson } from './coxModel';
import { percentJson } from './curveRows';
import { readableByAll, type GroupCurve } from './kaplanMeier';

const none = { value: null, lower: null, upper: null };

/** Every group less the first, at the times asked for: percentage points, ratio of the percents, test of equal percents. */
export function contrasts(curves: readonly GroupCurve[], { at, conf }: TableOptions) {
  const [first, ...others] = curves;
  return at.flatMap((time) => others.map(({ group, km, stop }) => {
    const [one, other] = [{ km, stop }, first!].map((curve) => percentAt(curve.km, curve.stop, time, { scale: conf }).estimate) as [Read, Read];
    const described = { time, group, against: first!.group };
    const missing = one.status !== 'ok' ? one : other.status !== 'ok' ? other : null;
    if (one.status !== 'ok' || other.status !== 'ok') {
      return { ...described, difference: { ...none, ...missing }, ratio: { ...none, ...missing }, test: { chisq: null, df: null, p: null, ...missing } };
    }
    const ratio = percentRatio(one, other);
    const [a, b] = [one, other].map(({ percent, lower, upper }) => ({ value: percent, lower, upper })) as [Limited, Limited];
    return {
      ...described,
      difference: { ...riskDifference(a, b), status: 'ok' },
      ratio: ratio.status === 'ok' ? { value: ratio.ratio, lower: ratio.lower, upper: ratio.upper, status: 'ok' } : { ...none, ...ratio },
      test: testJson(percentTest([one, other])),
    };
  }));
}

type Read = ReturnType<typeof percentAt>['estimate'];
interface Limited { readonly value: number; readonly lower: number; readonly upper: number }

/** Percent with the event by each time asked for of those without it at an earlier one. */
export function conditional(curves: readonly GroupCurve[], { at, conf }: TableOptions) {
  const times = [...new Set(at)].sort((a, b) => a - b);
  return curves.flatMap(({ group, km, stop }) => times.flatMap((from, k) => times.slice(k + 1).map((until) => {
    const { time, atRiskFrom, atRisk, events, estimate } = conditionalPercent(km, stop, from, until, { scale: conf });
    return { group, from, time, atRiskFrom, atRisk, events, ...percentJson(estimate) };
  })));
}

/** Mean time free of the event up to `tau`, and every group's less the first's. */
export function restrictedMeans(curves: readonly GroupCurve[], { tau: asked, group: grouping }: TableOptions) {
  const tau = asked ?? readableByAll(curves);
  const means = curves.map(({ km, stop }) => restrictedMean(km, stop, tau)), [first, ...others] = means;
  return {
    tau,
    groups: curves.map(({ group }, g) => {
      const mean = means[g]!;
      return mean.status === 'ok'
        ? { group, mean: mean.mean, stdErr: mean.standardError, lower: mean.lower, upper: mean.upper, atRisk: mean.atRisk, status: 'ok' }
        : { group, mean: null, stdErr: null, lower: null, upper: null, ...mean };
    }),
    differences: grouping === undefined ? [] : others.map((mean, k) => {
      const described = { group: curves[k + 1]!.group, against: curves[0]!.group };
      const missing = mean.status !== 'ok' ? mean : first!.status !== 'ok' ? first! : null;
      if (mean.status !== 'ok' || first!.status !== 'ok') return { ...described, difference: null, lower: null, upper: null, p: null, ...missing };
      return { ...described, ...restrictedMeanDifference(mean, first!) };
    }),
  };
}
