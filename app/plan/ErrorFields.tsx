'use client';
import { comparisonKinds } from '../../lib/contract/studyPlan';
import { Choice, NumberEntry } from '../parts/fields';
import type { PlanFieldsProps } from './planFields';

const comparisonLabels = { everyPair: 'every pair of arms', withFirst: 'each arm with the first', overall: 'whether any arm differs' } as const;

/** How sure the study is to be, and what goes missing on the way. */
export function ErrorFields({ plan, change }: PlanFieldsProps) {
  const entry = (label: string, value: number, least: number, most: number, step: number, take: (value: number) => void, help?: string) => (
    <NumberEntry label={label} value={value} least={least} most={most} step={step} isRequired {...(help !== undefined && { help })} onChange={(entered) => { if (entered !== null) take(entered); }} />
  );
  return (
    <>
      {plan.arms.length > 2 && (
        <Choice
          label="To be seen" chosen={plan.comparisons} options={comparisonKinds.filter((kind) => kind !== 'overall' || plan.endPoint.margin === null).map((key) => ({ key, label: comparisonLabels[key] }))}
          onChange={(key) => { const comparisons = comparisonKinds.find((kind) => kind === key); if (comparisons !== undefined) change({ comparisons }); }}
        />
      )}
      {entry('Power, percent', 100 * plan.power, 50, 99, 1, (value) => { change({ power: value / 100 }); }, 'Chance to see what is expected.')}
      {entry('Two-sided level, percent', 100 * plan.alpha, 0.1, 20, 0.1, (value) => { change({ alpha: value / 100 }); }, 'Chance of a false alarm, over all comparisons.')}
      <NumberEntry
        label="Procedures that can be had in the smallest arm" value={plan.recruitable} least={2} most={5_000_000} step={1} help="Empty: as many as are needed. Else the power with these."
        onChange={(recruitable) => { change({ recruitable }); }}
      />
      {entry('Without the end point in the end, percent', plan.attritionPercent, 0, 80, 1, (attritionPercent) => { change({ attritionPercent }); })}
      {entry('Procedures of one surgeon or patient', plan.perCluster, 1, 10_000, 1, (perCluster) => { change({ perCluster }); }, '1: every procedure stands for itself.')}
      {entry('Correlation within one of them', plan.clusterCorrelation, 0, 1, 0.01, (clusterCorrelation) => { change({ clusterCorrelation }); })}
    </>
  );
}
