'use client';
import { useId, useState } from 'react';

/** A short text, taken over when the field is left or Enter is pressed. */
export function Entry({ label, value, help, type = 'text', onChange }: {
  readonly label: string; readonly value: string; readonly help?: string; readonly type?: 'text' | 'date'; readonly onChange: (value: string) => void;
}) {
  const id = useId();
  const [entry, setEntry] = useState<string | null>(null); // null: as it is
  const take = () => {
    if (entry !== null && entry !== value) onChange(entry);
    setEntry(null);
  };
  return (
    <div className="field">
      <label className="field-label" htmlFor={id}>{label}</label>
      <input
        id={id} type={type} value={entry ?? value} autoComplete="off" spellCheck={false} aria-describedby={help === undefined ? undefined : `${id}-help`}
        onChange={(event) => { setEntry(event.currentTarget.value); }} onBlur={take} onKeyDown={(event) => { if (event.key === 'Enter') take(); }}
      />
      {help !== undefined && <p className="help" id={`${id}-help`}>{help}</p>}
    </div>
  );
}
