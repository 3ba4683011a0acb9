'use client';
import { FieldError, Input, Label, Text, TextArea, TextField } from 'react-aria-components';
import './fields.css';

interface Props {
  readonly label: string;
  readonly value: string;
  readonly onChange: (value: string) => void;
  readonly help?: string;
  readonly long?: boolean;
  readonly type?: 'text' | 'date';
  readonly problem?: string | null; // why it was not taken
}

/** Words, or a day, that a person enters. The browser is told not to remember them: it would write them to the disk as they are. */
export function WordsField({ label, value, onChange, help, long = false, type = 'text', problem = null }: Props) {
  return (
    <TextField autoComplete="off" className="field" value={value} onChange={onChange} type={type} isInvalid={problem !== null} validationBehavior="aria">
      <Label className="field-label">{label}</Label>
      {long ? <TextArea rows={3} /> : <Input />}
      {help !== undefined && <Text slot="description" className="help">{help}</Text>}
      <FieldError className="error">{problem}</FieldError>
    </TextField>
  );
}
