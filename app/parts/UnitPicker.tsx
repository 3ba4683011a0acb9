'use client';
import { Button, ComboBox, Input, Label, ListBox, ListBoxItem, Popover } from 'react-aria-components';
import { formatCount } from '../../lib/reports/format';
import './UnitPicker.css';

interface Props {
  readonly label: string;
  readonly options: readonly { readonly id: string; readonly procedures: number }[];
  readonly chosen: string | null;
  readonly placeholder: string;
  readonly onChoose: (id: string | null) => void;
}

/** One identifier of many, found by typing a part of it. */
export function UnitPicker({ label, options, chosen, placeholder, onChoose }: Props) {
  return (
    <ComboBox
      className="unit-picker" value={chosen} menuTrigger="focus" allowsEmptyCollection
      onChange={(key) => { if (key !== chosen) onChoose(key === null ? null : String(key)); }}
      defaultItems={options}
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
      </Popover>
    </ComboBox>
  );
}
