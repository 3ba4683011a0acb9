'use client';
import type { EndPoint } from '../../lib/contract/studyPlan';
import { Choice, NumberEntry } from '../parts/fields';
import { WordsField } from '../parts/WordsField';
import type { PlanFieldsProps } from './planFields';

const kinds = [
  { key: 'proportion', label: 'has something or has not: a sign, a torn tendon' },
  { key: 'mean', label: 'is measured: a score, a range of motion (higher is better)' },
  { key: 'revision', label: 'is revised, sooner or later' },
] as const;

const fresh = (kind: EndPoint['kind'], arms: number): EndPoint => {
  const steps = (from: number, by: number) => Array.from({ length: arms }, (_, i) => from + i * by);
  switch (kind) {
    case 'proportion': return { kind, shares: steps(0.3, 0.2), margin: null };
    case 'mean': return { kind, means: steps(70, 6), sd: 18, baselineCorrelation: 0, margin: null };
    case 'revision': return { kind, percents: steps(5, 3), atYears: 10, accrualYears: 3, furtherYears: 7, lossPercentPerYear: 2, margin: null };
  }
};

/** The one end point that the numbers rest on, and what is expected of it in each arm. */
export function EndPointFields({ plan, change }: PlanFieldsProps) {
  const { endPoint, arms } = plan;
  const set = (changed: EndPoint) => { change({ endPoint: changed }); };
  const replaced = (values: readonly number[], i: number, value: number) => values.map((old, j) => (j === i ? value : old));
  const entry = (label: string, value: number, least: number, most: number, step: number, take: (value: number) => void, help?: string) => (
    <NumberEntry key={label} label={label} value={value} least={least} most={most} step={step} isRequired {...(help !== undefined && { help })} onChange={(entered) => { if (entered !== null) take(entered); }} />
  );
  const margin = (label: string, least: number, most: number, step: number, shown: number | null, take: (value: number | null) => void) => (
    <NumberEntry label={label} value={shown} least={least} most={most} step={step} help="Empty: a difference is looked for. Otherwise, what would still be “not worse”." onChange={take} />
  );
  return (
    <>
      <WordsField label="The primary end point in words" value={plan.endPointWords} long onChange={(endPointWords) => { change({ endPointWords }); }} help="What, how, when, by whom." />
      <Choice label="A procedure" chosen={endPoint.kind} options={kinds} onChange={(key) => { const kind = kinds.find((k) => k.key === key)?.key; if (kind !== undefined) set(fresh(kind, arms.length)); }} />
      {endPoint.kind === 'proportion' && (
        <>
          {endPoint.shares.map((share, i) => entry(`Percent expected, ${arms[i]?.label ?? ''}`, 100 * share, 0.1, 99.9, 0.1, (value) => { set({ ...endPoint, shares: replaced(endPoint.shares, i, value / 100) }); }))}
          {margin('Margin, percentage points', 0.1, 50, 0.1, endPoint.margin === null ? null : 100 * endPoint.margin, (value) => { set({ ...endPoint, margin: value === null ? null : value / 100 }); })}
        </>
      )}
      {endPoint.kind === 'mean' && (
        <>
          {endPoint.means.map((mean, i) => entry(`Mean expected, ${arms[i]?.label ?? ''}`, mean, -1000, 1000, 0.1, (value) => { set({ ...endPoint, means: replaced(endPoint.means, i, value) }); }))}
          {entry('Standard deviation', endPoint.sd, 0.1, 1000, 0.1, (sd) => { set({ ...endPoint, sd }); })}
          {entry('Correlation with the value before surgery', endPoint.baselineCorrelation, 0, 0.99, 0.01, (baselineCorrelation) => { set({ ...endPoint, baselineCorrelation }); }, '0: the analysis does not adjust for it.')}
          {margin('Margin', 0.1, 1000, 0.1, endPoint.margin, (value) => { set({ ...endPoint, margin: value }); })}
        </>
      )}
      {endPoint.kind === 'revision' && (
        <>
          {endPoint.percents.map((percent, i) => entry(`Percent revised, ${arms[i]?.label ?? ''}`, percent, 0.1, 99.9, 0.1, (value) => { set({ ...endPoint, percents: replaced(endPoint.percents, i, value) }); }))}
          {entry('by, years', endPoint.atYears, 0.5, 30, 0.5, (atYears) => { set({ ...endPoint, atYears }); })}
          {entry('Years of recruiting', endPoint.accrualYears, 0.25, 30, 0.25, (accrualYears) => { set({ ...endPoint, accrualYears }); })}
          {entry('Years of follow-up after the last procedure', endPoint.furtherYears, 0, 30, 0.5, (furtherYears) => { set({ ...endPoint, furtherYears }); })}
          {entry('Percent who die or leave in a year', endPoint.lossPercentPerYear, 0, 50, 0.1, (lossPercentPerYear) => { set({ ...endPoint, lossPercentPerYear }); })}
          {margin('Margin, hazard ratio', 1.01, 10, 0.05, endPoint.margin, (value) => { set({ ...endPoint, margin: value }); })}
        </>
      )}
    </>
  );
}
