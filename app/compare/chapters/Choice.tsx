'use client';
import { useState, type ReactNode } from 'react';
import { ToggleButton, ToggleButtonGroup } from 'react-aria-components';
import '../ViewControls.css';

/** One of several ways to show the same; all of them in print. */
export function Choice({ label, options }: { readonly label: string; readonly options: readonly { readonly label: string; readonly content: ReactNode }[] }) {
  const [chosen, setChosen] = useState(0);
  return (
    <div className="choice">
      <div className="view-controls">
        <ToggleButtonGroup
          aria-label={label} selectionMode="single" disallowEmptySelection selectedKeys={[String(chosen)]}
          onSelectionChange={(keys) => { const [key] = keys; setChosen(Number(key)); }}
        >
          {options.map((option, i) => <ToggleButton key={option.label} id={String(i)}>{option.label}</ToggleButton>)}
        </ToggleButtonGroup>
      </div>
      {options.map((option, i) => (
        <div key={option.label} className={i === chosen ? undefined : 'not-chosen'}>
          <h4 className="only-printed">{option.label}</h4>
          {option.content}
        </div>
      ))}
    </div>
  );
}
