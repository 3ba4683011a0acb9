import { useId } from 'react';

interface Option { readonly value: string; readonly label: string }
interface Props {
  readonly label: string;
  /** The label is read out only: what stands beside it says the same. */
  readonly labelHidden?: boolean;
  readonly value: string;
  readonly options: readonly (Option | { readonly group: string; readonly options: readonly Option[] })[];
  readonly onChange: (value: string) => void;
}

/** One of a list that may be long. */
export function Pick({ label, labelHidden = false, value, options, onChange }: Props) {
  const id = useId();
  return (
    <div className="pick">
      <label htmlFor={id} className={labelHidden ? 'hidden-label' : 'field-label'}>{label}</label>
      <select id={id} value={value} onChange={(event) => { onChange(event.currentTarget.value); }}>
        {options.map((option) => ('group' in option
          ? <optgroup key={option.group} label={option.group}>{option.options.map(drawn)}</optgroup>
          : drawn(option)))}
      </select>
    </div>
  );
}

const drawn = ({ value, label }: Option) => <option key={value} value={value}>{label}</option>;
