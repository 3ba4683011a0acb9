'use client';
import { useState, type ReactNode } from 'react';
import { ToggleButton, ToggleButtonGroup } from 'react-aria-components';
import '../parts/ViewControls.css';

interface Props {
  readonly label: string;
  readonly options: readonly { readonly label: string; readonly content: ReactNode }[];
}

/** One of several ways to show the same. The one that is chosen is printed. */
export function Choice({ label, options }: Props) {
  const [chosen, setChosen] = useState(0);
  return (
    <>
      <div className="view-controls">
        <ToggleButtonGroup
          aria-label={label} selectionMode="single" disallowEmptySelection selectedKeys={[String(chosen)]}
          onSelectionChange={(keys) => { const [key] = keys; setChosen(Number(key)); }}
        >
          {options.map((option, i) => <ToggleButton key={option.label} id={String(i)}>{option.label}</ToggleButton>)}
        </ToggleButtonGroup>
      </div>
      {options[chosen]?.content}
    </>
  );
}
