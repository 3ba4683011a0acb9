'use client';
import type { EndPoint, StudyPlan } from '../../lib/contract/studyPlan';
import { Choice, NumberEntry } from '../parts/fields';
import { WordsField } from '../parts/WordsField';
import type { PlanFieldsProps } from './planFields';

/** Two arms or three, how they are shared out, and who decides. */
export function ArmsFields({ plan, change }: PlanFieldsProps) {
  const { arms } = plan;
  const setArm = (i: number, part: Partial<StudyPlan['arms'][number]>) => { change({ arms: arms.map((arm, j) => (j === i ? { ...arm, ...part } : arm)) }); };
  const setCount = (count: number) => {
    const labels = ['A', 'B', 'C'];
    change({
      arms: Array.from({ length: count }, (_, i) => arms[i] ?? { label: labels[i] ?? '', weight: 1 }),
      endPoint: withArms(plan.endPoint, count),
      ...(count === 2 && plan.comparisons === 'overall' ? { comparisons: 'everyPair' as const } : {}),
    });
  };
  return (
    <>
      <Choice label="Number of arms" chosen={`${arms.length}`} options={[{ key: '2', label: 'Two' }, { key: '3', label: 'Three' }]} onChange={(key) => { setCount(Number(key)); }} />
      {arms.map(({ label, weight }, i) => (
        <div key={i} className="arm" role="group" aria-label={`Arm ${i + 1}`}>
          <WordsField label={`Arm ${i + 1}`} value={label} onChange={(words) => { setArm(i, { label: words }); }} />
          <NumberEntry label="Weight" value={weight} least={0.1} most={10} step={0.1} isRequired onChange={(value) => { if (value !== null) setArm(i, { weight: value }); }} />
        </div>
      ))}
      <Choice
        label="Who gets which implant" chosen={plan.assignment}
        options={[{ key: 'random', label: 'is decided by chance' }, { key: 'observed', label: 'is decided by patient and surgeon, and observed' }]}
        onChange={(key) => { change({ assignment: key === 'random' ? 'random' : 'observed' }); }}
      />
    </>
  );
}

/** The same end point for another number of arms; a new arm expects what the last one does. */
function withArms(endPoint: EndPoint, count: number): EndPoint {
  const fit = (values: readonly number[]) => Array.from({ length: count }, (_, i) => values[i] ?? values.at(-1) ?? 0);
  switch (endPoint.kind) {
    case 'proportion': return { ...endPoint, shares: fit(endPoint.shares) };
    case 'mean': return { ...endPoint, means: fit(endPoint.means) };
    case 'revision': return { ...endPoint, percents: fit(endPoint.percents) };
  }
}
