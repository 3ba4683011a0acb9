'use client';
import { useState } from 'react';
import { Checkbox, CheckboxGroup, FieldError, Input, Label, NumberField, Radio, RadioGroup, Text, TextField } from 'react-aria-components';

export interface Option { readonly key: string; readonly label: string; readonly note?: string }

const optionsOf = (options: readonly Option[], element: (option: Option) => React.ReactNode) => <div className="options">{options.map(element)}</div>;
const inside = ({ label, note }: Option) => <><span className="box" aria-hidden /><span>{label}</span>{note !== undefined && <span className="count">{note}</span>}</>;

/** Any number of a list; none chosen means what `none` says. */
export function Checks({ label, options, chosen, none, onChange }: {
  readonly label: string; readonly options: readonly Option[]; readonly chosen: readonly string[]; readonly none?: string;
  readonly onChange: (chosen: string[]) => void;
}) {
  // in the order of the options, so that the same choice is the same question
  const sorted = (keys: readonly string[]) => [...options.map(({ key }) => key).filter((key) => keys.includes(key)), ...keys.filter((key) => !options.some((o) => o.key === key))];
  return (
    <CheckboxGroup className="field" value={[...chosen]} onChange={(keys) => { onChange(sorted(keys)); }}>
      <Label className="field-label">{label}</Label>
      {optionsOf(options, (option) => <Checkbox key={option.key} className="option" value={option.key}>{inside(option)}</Checkbox>)}
      {none !== undefined && <Text slot="description" className="help">{none}</Text>}
    </CheckboxGroup>
  );
}

/** One of a list. */
export function Choice({ label, options, chosen, help, onChange }: {
  readonly label: string; readonly options: readonly Option[]; readonly chosen: string; readonly help?: string; readonly onChange: (chosen: string) => void;
}) {
  return (
    <RadioGroup className="field" value={chosen} onChange={onChange}>
      <Label className="field-label">{label}</Label>
      {optionsOf(options, (option) => <Radio key={option.key} className="option" value={option.key}>{inside(option)}</Radio>)}
      {help !== undefined && <Text slot="description" className="help">{help}</Text>}
    </RadioGroup>
  );
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
    <TextField className="field" value={entry ?? values.join(', ')} onChange={setEntry} onBlur={take} isInvalid={problem !== null} onKeyDown={(event) => { if (event.key === 'Enter') take(); }}>
      <Label className="field-label">{label}</Label>
      <Input />
      <Text slot="description" className="help">{help}</Text>
      <FieldError className="error">{problem}</FieldError>
    </TextField>
  );
}
