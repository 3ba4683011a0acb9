'use client';
import { useEffect, useState } from 'react';
import type { Level } from '../../lib/analysis/levels';
import type { MonitoringQuestion } from '../../lib/contract/monitoringQuestion';
import { Question } from '../../lib/contract/question';
import { TextButton } from '../parts/TextButton';
import { UnitPicker } from '../parts/UnitPicker';
import type { Ask } from '../parts/useEdits';
import { useWorkbench } from '../shell/WorkbenchProvider';
import './monitoring.css';

/** Which model's chart is drawn. */
export function ChooseModel({ question, ask }: { readonly question: MonitoringQuestion; readonly ask: Ask<MonitoringQuestion> }) {
  const { worker, loaded } = useWorkbench();
  const [levels, setLevels] = useState<readonly Level[] | null>(null);
  const asked = JSON.stringify({ compare: 'model', cohort: { ...question.cohort, role: question.role }, horizonYears: question.horizonYears });
  useEffect(() => {
    let current = true;
    if (worker !== null && loaded !== null) {
      void worker.levels(Question.parse(JSON.parse(asked))).then((found) => { if (current) setLevels(found); });
    }
    return () => { current = false; };
  }, [worker, loaded, asked]);
  if (levels === null) return <p className="help">Looking up what the registry holds …</p>;
  const options = levels.map(({ key, procedures }) => ({ id: key, procedures })).sort((a, b) => (a.id < b.id ? -1 : 1));
  return (
    <section className="choose-model" aria-label="The model that is looked at">
      <UnitPicker
        key={`${question.role} ${question.model ?? ''} ${levels.length}`} label="Model" options={options} chosen={question.model} placeholder="Type or choose"
        onChoose={(model) => { ask({ ...question, model, reviews: [] }, false); }}
      />
      {question.model !== null && <TextButton onPress={() => { ask({ ...question, model: null, reviews: [] }, false); }}>Look at all models again</TextButton>}
    </section>
  );
}
