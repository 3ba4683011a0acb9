'use client';
import { useState } from 'react';
import { Button, Form } from 'react-aria-components';
import { measures } from '../../lib/contract/measures';
import { ImportantDifference } from '../../lib/contract/visitsQuestion';
import { Choice, NumberEntry } from '../parts/fields';
import { WordsField } from '../parts/WordsField';

type Draft = Readonly<Record<Exclude<keyof ImportantDifference, 'value'>, string>> & { readonly value: number | null };

const empty: Draft = { measure: 'score_total', value: null, instrument: '', anchor: '', population: '', source: '' };
const offered = measures.flatMap((measure) => (measure.kind === 'amount' && measure.hasBaseline ? [{ key: measure.name, label: measure.label }] : []));

/** The least change that patients notice as worthwhile, with where it comes from. Nothing is filled in: it belongs to an instrument, an anchor and a population. */
export function ImportantDifferenceForm({ set, onSet }: { readonly set: ImportantDifference | null; readonly onSet: (difference: ImportantDifference | null) => void }) {
  const [draft, setDraft] = useState<Draft>(set ?? empty);
  const [missing, setMissing] = useState<string | null>(null);
  const change = (part: Partial<Draft>) => { setDraft((before) => ({ ...before, ...part })); };
  const take = () => {
    const checked = ImportantDifference.safeParse(draft);
    setMissing(checked.success ? null : `Missing or out of range: ${[...new Set(checked.error.issues.map(({ path }) => path.join(' ')))].join(', ')}. Without all of them no share is shown.`);
    if (checked.success) onSet(checked.data);
  };
  return (
    <Form className="important" aria-label="Important difference" validationBehavior="aria" onSubmit={(event) => { event.preventDefault(); take(); }}>
      <Choice label="Important difference of" chosen={draft.measure} options={offered} onChange={(measure) => { change({ measure }); }} />
      <NumberEntry label="Important difference" value={draft.value} least={0.1} most={200} step={0.1} onChange={(value) => { change({ value }); }} />
      <WordsField label="Instrument" value={draft.instrument} onChange={(instrument) => { change({ instrument }); }} />
      <WordsField label="Anchor" value={draft.anchor} onChange={(anchor) => { change({ anchor }); }} help="How it was found." />
      <WordsField label="Population" value={draft.population} onChange={(population) => { change({ population }); }} />
      <WordsField label="Source" value={draft.source} onChange={(source) => { change({ source }); }} help="A publication. It goes along in the address and with every file." />
      {missing !== null && <p className="problem" role="alert">{missing}</p>}
      <p>
        <Button type="submit">Set the difference</Button>
        {set !== null && <>{' '}<Button onPress={() => { setDraft(empty); setMissing(null); onSet(null); }}>Remove it</Button></>}
      </p>
    </Form>
  );
}
