'use client';
import { FieldError, Input, Label, Text, TextField } from 'react-aria-components';
import '../parts/fields.css';

/** A passphrase that is typed and not shown. */
export function PassphraseField({ label, value, onChange, isNew, help, problem = null }: {
  readonly label: string; readonly value: string; readonly onChange: (value: string) => void; readonly isNew: boolean; readonly help?: string; readonly problem?: string | null;
}) {
  return (
    <TextField className="field" type="password" value={value} onChange={onChange} autoComplete={isNew ? 'new-password' : 'current-password'} isInvalid={problem !== null} validationBehavior="aria">
      <Label className="field-label">{label}</Label>
      <Input />
      {help !== undefined && <Text slot="description" className="help">{help}</Text>}
      <FieldError className="error">{problem}</FieldError>
    </TextField>
  );
}
