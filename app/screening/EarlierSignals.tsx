'use client';
import { useMemo, useState } from 'react';
import type { EarlierSignal, ScreeningQuestion } from '../../lib/contract/screeningQuestion';
import type { ListedModel } from '../../lib/reports/screening/screeningReport';
import { NumberEntry } from '../parts/fields';
import { TextButton } from '../parts/TextButton';
import { UnitPicker } from '../parts/UnitPicker';

interface Props {
  readonly question: ScreeningQuestion;
  readonly change: (question: ScreeningQuestion) => string | null;
  readonly models: readonly ListedModel[];
}

/** Signals of earlier looks, which stay listed whatever their models do now. */
export function EarlierSignals({ question, change, models }: Props) {
  const { look, earlier } = question;
  const [model, setModel] = useState<string | null>(null);
  const [at, setAt] = useState<number | null>(null);
  const last = Math.min(at ?? look - 1, look - 1);
  const keep = (signals: readonly EarlierSignal[]) => change({ ...question, earlier: [...signals] });
  const options = useMemo(() => [...new Map(models.map(({ chosen, procedures }) => [chosen.model, { id: chosen.model, procedures }])).values()], [models]);
  return (
    <div className="earlier" role="group" aria-label="Earlier signals">
      <p className="field-label">Signals of earlier looks</p>
      {earlier.length === 0 && <p className="help">{look === 1 ? 'None: this is the first look.' : 'None entered. What was flagged before is carried forward here, cleared signals too.'}</p>}
      {earlier.length > 0 && (
        <ul>
          {earlier.map((signal) => (
            <li key={`${signal.look}:${signal.model}`}>
              {signal.model}, look {signal.look}{' '}
              <TextButton label={`Remove ${signal.model}, look ${signal.look}`} onPress={() => { keep(earlier.filter((other) => other !== signal)); }}>Remove</TextButton>
            </li>
          ))}
        </ul>
      )}
      {look > 1 && (
        <div className="add">
          <UnitPicker key={`${earlier.length} ${options.length}`} label="Model" options={options} chosen={model} placeholder="Type or choose" onChoose={setModel} />
          <NumberEntry label="Flagged at look" value={last} least={1} most={look - 1} step={1} isRequired onChange={setAt} />
          <TextButton
            isDisabled={model === null}
            onPress={() => { if (model !== null && keep([...earlier, { model, look: last }]) === null) setModel(null); }}
          >
            Carry it forward
          </TextButton>
        </div>
      )}
    </div>
  );
}
