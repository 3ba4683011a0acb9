'use client';
import { useMemo, useState } from 'react';
import { Button, ComboBox, Input, Label, ListBox, ListBoxItem, Popover, useFilter } from 'react-aria-components';
import { formatCount } from '../../lib/reports/format';
import './UnitPicker.css';

interface Props {
  readonly label: string;
  readonly options: readonly { readonly id: string; readonly procedures: number }[];
  readonly chosen: string | null;
  readonly placeholder: string;
  readonly onChoose: (id: string | null) => void;
}

const mostListed = 200; // more would take long to draw, and nobody looks through them

/** One identifier of many, found by typing a part of it. */
export function UnitPicker({ label, options, chosen, placeholder, onChoose }: Props) {
  const { contains } = useFilter({ sensitivity: 'base' }), [entry, setEntry] = useState({ of: chosen, text: chosen ?? '' });
  const typed = entry.of === chosen ? entry.text : chosen ?? ''; // of another choice than the one that was typed for, that one
  const type = (text: string) => { setEntry({ of: chosen, text }); };
  const { listed, others } = useMemo(() => {
    const found = typed === chosen ? options : options.filter(({ id }) => contains(id, typed)), first = found.slice(0, mostListed);
    const own = found.slice(mostListed).filter(({ id }) => id === chosen);
    return { listed: [...first, ...own], others: found.length - first.length - own.length };
  }, [options, chosen, typed, contains]);
  return (
    <ComboBox
      className="unit-picker" value={chosen} menuTrigger="focus" allowsEmptyCollection items={listed} inputValue={typed}
      onChange={(key) => {
        if (key === chosen) type(chosen ?? ''); // left with something else typed
        else onChoose(key === null ? null : String(key));
      }}
      onInputChange={(text) => {
        type(text);
        if (text === '' && chosen !== null) onChoose(null);
      }}
    >
      <Label className="field-label">{label}</Label>
      <div className="entry">
        <Input placeholder={placeholder} autoComplete="off" spellCheck={false} />
        <Button aria-label={`Show all: ${label}`}>▾</Button>
      </div>
      <Popover className="unit-options" placement="bottom start" offset={2}>
        <ListBox<Props['options'][number]> renderEmptyState={() => <p className="nothing-found">None of that name.</p>}>
          {({ id, procedures }) => (
            <ListBoxItem id={id} textValue={id}><span>{id}</span> <span className="count">{formatCount(procedures)}</span></ListBoxItem>
          )}
        </ListBox>
        {others > 0 && <p className="nothing-found">{formatCount(others)} more: type a part of the identifier.</p>}
      </Popover>
    </ComboBox>
  );
}
