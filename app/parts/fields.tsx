'use client';
import { useId, useState } from 'react';
import { FieldError, Input, Label, NumberField, Text, TextField } from 'react-aria-components';
import './fields.css';

export interface Option { readonly key: string; readonly label: string; readonly note?: string }

/** What an option that the extract can't answer for says. */
export const notRecorded = (isRecorded: boolean): Pick<Option, 'note'> => (isRecorded ? {} : { note: 'not recorded' });

interface ListProps {
  readonly label: string;
  readonly options: readonly Option[];
  readonly help?: string;
}

function OptionList({ label, options, help, type, isChosen, onPick }: ListProps & {
  readonly type: 'checkbox' | 'radio'; readonly isChosen: (key: string) => boolean; readonly onPick: (key: string, chosen: boolean) => void;
}) {
  const name = useId();
  return (
    <fieldset className="field" aria-describedby={help === undefined ? undefined : `${name}-help`}>
      <legend className="field-label">{label}</legend>
      <div className="options">
        {options.map(({ key, label: words, note }) => (
          <label key={key} className="option">
            <input type={type} name={name} value={key} checked={isChosen(key)} onChange={(event) => { onPick(key, event.currentTarget.checked); }} />
            <span>{words}</span>{note !== undefined && <span className="count">{note}</span>}
          </label>
        ))}
      </div>
      {help !== undefined && <p className="help" id={`${name}-help`}>{help}</p>}
    </fieldset>
  );
}

/** Any number of a list, kept in the order of the options so that the same choice is the same question. */
export function Checks({ chosen, onChange, ...list }: ListProps & { readonly chosen: readonly string[]; readonly onChange: (chosen: string[]) => void }) {
  const pick = (key: string, isChosen: boolean) => {
    onChange(list.options.map((option) => option.key).filter((other) => (other === key ? isChosen : chosen.includes(other))));
  };
  return <OptionList {...list} type="checkbox" isChosen={(key) => chosen.includes(key)} onPick={pick} />;
}

/** One of a list. */
export function Choice({ chosen, onChange, ...list }: ListProps & { readonly chosen: string; readonly onChange: (chosen: string) => void }) {
  return <OptionList {...list} type="radio" isChosen={(key) => key === chosen} onPick={onChange} />;
}

export function NumberEntry({ label, value, least, most, step, help, isRequired = false, onChange }: {
  readonly label: string; readonly value: number | null; readonly least: number; readonly most: number; readonly step?: number; readonly help?: string;
  readonly isRequired?: boolean; readonly onChange: (value: number | null) => void;
}) {
  return (
    <NumberField
      className="field" value={value ?? NaN} minValue={least} maxValue={most} {...(step !== undefined && { step })} formatOptions={{ useGrouping: false, maximumFractionDigits: 3 }}
      onChange={(entered) => { if (!Number.isNaN(entered) || !isRequired) onChange(Number.isNaN(entered) ? null : entered); }}
    >
      <Label className="field-label">{label}</Label>
      <Input />
      {help !== undefined && <Text slot="description" className="help">{help}</Text>}
    </NumberField>
  );
}

/** A range with open ends. */
export function Between({ label, from, to, least, most, onChange }: {
  readonly label: string; readonly from: number | null; readonly to: number | null; readonly least: number; readonly most: number;
  readonly onChange: (from: number | null, to: number | null) => void;
}) {
  return (
    <div className="between" role="group" aria-label={label}>
      <NumberEntry label={`${label} from`} value={from} least={least} most={most} onChange={(value) => { onChange(value, to); }} />
      <NumberEntry label="to" value={to} least={least} most={most} onChange={(value) => { onChange(from, value); }} />
    </div>
  );
}

/** Numbers with commas or spaces between them; taken over when the field is left or Enter is pressed. */
export function NumberList({ label, values, help, onChange }: {
  readonly label: string; readonly values: readonly number[]; readonly help: string; readonly onChange: (values: number[]) => string | null;
}) {
  const [entry, setEntry] = useState<string | null>(null); // null: as in the question
  const [problem, setProblem] = useState<string | null>(null);
  const take = () => {
    if (entry === null) return;
    const words = entry.split(/[\s,;]+/).filter((word) => word !== '');
    const wrong = words.find((word) => !/^\d+(\.\d+)?$/.test(word));
    const found = wrong === undefined ? onChange(words.map(Number)) : `“${wrong}” is not a number.`;
    setProblem(found);
    if (found === null) setEntry(null);
  };
  return (
    <TextField autoComplete="off" className="field" value={entry ?? values.join(', ')} onChange={setEntry} onBlur={take} isInvalid={problem !== null} onKeyDown={(event) => { if (event.key === 'Enter') take(); }}>
      <Label className="field-label">{label}</Label>
      <Input />
      <Text slot="description" className="help">{help}</Text>
      <FieldError className="error">{problem}</FieldError>
    </TextField>
  );
}

/** A calendar day; empty: none. */
export function DateEntry({ label, value, help, onChange }: {
  readonly label: string; readonly value: string | null; readonly help: string; readonly onChange: (value: string | null) => void;
}) {
  const name = useId();
  return (
    <div className="field">
      <label className="field-label" htmlFor={name}>{label}</label>
      <input
        id={name} type="date" key={value} defaultValue={value ?? ''} min="1950-01-01" max="2100-12-31" aria-describedby={`${name}-help`}
        onBlur={(event) => { const entered = event.currentTarget.value; if (entered !== (value ?? '')) onChange(entered === '' ? null : entered); }}
      />
      <p className="help" id={`${name}-help`}>{help}</p>
    </div>
  );
}
