'use client';
import { useState } from 'react';
import { Button, Form, Input, Label, Text, TextField } from 'react-aria-components';
import { jointCodes, joints } from '../../lib/contract/codes';
import { Benchmark, type UnitsQuestion } from '../../lib/contract/unitsQuestion';
import { Choice, NumberEntry } from '../parts/fields';

type Set = NonNullable<UnitsQuestion['benchmark']>;
type Draft = { readonly [K in keyof Set]: Set[K] | null };

const empty: Draft = { percent: null, margin: null, atYears: null, joint: null, source: null, setIn: null };
const fieldNames: Readonly<Record<keyof Set, string>> = {
  percent: 'the percentage', margin: 'the margin', atYears: 'the time', joint: 'the joint', source: 'the source (three letters or more)', setIn: 'the year',
};

interface Props {
  readonly benchmark: UnitsQuestion['benchmark'];
  readonly onSet: (benchmark: UnitsQuestion['benchmark']) => void;
}

/** A bar with its source. Nothing is filled in: whoever decides must bring it. */
export function BenchmarkForm({ benchmark, onSet }: Props) {
  const [draft, setDraft] = useState<Draft>(benchmark ?? empty);
  const [missing, setMissing] = useState<string | null>(null);
  const change = (part: Partial<Draft>) => { setDraft((before) => ({ ...before, ...part })); };
  const take = () => {
    const checked = Benchmark.safeParse(draft);
    if (checked.success) {
      setMissing(null);
      onSet(checked.data);
      return;
    }
    const fields = Object.keys(fieldNames).filter((key): key is keyof Set => key in fieldNames && checked.error.issues.some(({ path }) => path[0] === key));
    setMissing(`Missing or out of range: ${fields.map((key) => fieldNames[key]).join(', ')}. There is no verdict without a complete bar.`);
  };
  return (
    <Form className="benchmark-form" aria-label="Benchmark" validationBehavior="aria" onSubmit={(event) => { event.preventDefault(); take(); }}>
      <NumberEntry label="Percent revised" value={draft.percent} least={0.1} most={99.9} step={0.1} onChange={(percent) => { change({ percent }); }} />
      <NumberEntry label="Margin, percentage points" value={draft.margin} least={0} most={49.9} step={0.1} help="How much above it is tolerated; 0: none." onChange={(margin) => { change({ margin }); }} />
      <NumberEntry label="At, years since surgery" value={draft.atYears} least={0.1} most={30} step={0.1} onChange={(atYears) => { change({ atYears }); }} />
      <NumberEntry label="Year in which it was set" value={draft.setIn} least={1950} most={2100} step={1} onChange={(setIn) => { change({ setIn }); }} />
      <Choice
        label="Joint that it was set for" chosen={draft.joint ?? ''} options={jointCodes.map(({ code, label }) => ({ key: code, label }))}
        onChange={(key) => { change({ joint: joints.find((joint) => joint === key) ?? null }); }}
      />
      <TextField autoComplete="off" className="field source" value={draft.source ?? ''} onChange={(source) => { change({ source }); }}>
        <Label className="field-label">Source</Label>
        <Input />
        <Text slot="description" className="help">A publication, or who decided it. It goes along in the address and with every file.</Text>
      </TextField>
      {missing !== null && <p className="missing" role="alert">{missing}</p>}
      <p className="actions">
        <Button type="submit">Set the benchmark</Button>
        {benchmark !== null && <Button onPress={() => { setDraft(empty); setMissing(null); onSet(null); }}>Remove it</Button>}
      </p>
    </Form>
  );
}
