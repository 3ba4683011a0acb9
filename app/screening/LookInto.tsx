'use client';
import { useMemo } from 'react';
import type { ChosenComponent } from '../../lib/contract/screeningQuestion';
import type { ListedModel } from '../../lib/reports/screening/screeningReport';
import { TextButton } from '../parts/TextButton';
import { UnitPicker } from '../parts/UnitPicker';

const keyOf = ({ model, class: ofClass }: ChosenComponent): string => (ofClass === null ? model : `${model} (${ofClass.replace('_', ' ')})`);

/** The model that is looked into: one of those flagged or carried forward at a click, or any other. */
export function LookInto({ models, chosen, choose }: { readonly models: readonly ListedModel[]; readonly chosen: ChosenComponent | null; readonly choose: (chosen: ChosenComponent | null) => void }) {
  const first = models.filter(({ flagged, carried }) => flagged || carried), shown = chosen === null ? null : keyOf(chosen);
  const options = useMemo(() => models.map(({ chosen: model, procedures }) => ({ id: keyOf(model), procedures })), [models]);
  return (
    <div className="look-into">
      {first.length > 0 && (
        <ul>
          {first.map(({ chosen: model, label, flagged }) => (
            <li key={keyOf(model)}>
              {shown === keyOf(model)
                ? <strong>{label}</strong>
                : <TextButton onPress={() => { choose(model); }}>Look into {label}</TextButton>}
              {' '}<span className="help">{flagged ? 'flagged' : 'carried forward'}</span>
            </li>
          ))}
        </ul>
      )}
      <UnitPicker
        key={shown ?? ''} label="Any model" options={options} chosen={shown} placeholder="Type or choose"
        onChoose={(id) => { choose(models.find(({ chosen: model }) => keyOf(model) === id)?.chosen ?? null); }}
      />
    </div>
  );
}
