'use client';
import { useId, useState } from 'react';
import { fieldPath, withField, type TablePlace } from '../../../lib/contract/editMapping';
import type { Field } from '../../../lib/contract/fields';
import type { FieldSource, SourceMapping, TableMapping } from '../../../lib/contract/mapping';
import type { FoundSource } from '../../../lib/intake/inspection';
import { formatCount } from '../../../lib/reports/format';
import { suggestField } from '../../../lib/intake/suggest/suggestPart';
import { columnOf, keyOf, samplesOf } from '../../../lib/reports/importing/draft';
import { codesFor, fieldWords, recordsWords, sourceName } from '../../../lib/reports/importing/words';
import { DayOrder } from './DayOrder';
import { Entry } from './Entry';
import { ColumnSettings } from './ColumnSettings';
import { Pick } from './Pick';
import type { Importing } from './useImport';

interface Props {
  readonly importing: Importing;
  readonly source: SourceMapping;
  readonly table: TableMapping;
  readonly place: TablePlace;
  readonly field: Field;
  readonly found: readonly FoundSource[];
}

// keys of the choice; what follows `:` is a column, what follows `=` a value
const nowhere = '', anyConstant = '=';

/** A field of the contract: what it means, where it comes from, and what stands there. */
export function FieldRow({ importing: { draft, open, change, settle, mappingProblems }, source, table, place, field, found }: Props) {
  const id = useId();
  const [isTyping, setTyping] = useState(false); // the value of every record is about to be written
  const { mapping, reasons, settled } = draft;
  const from = table.fields[field.name] ?? null;
  const path = fieldPath(place, field.name), key = from === null ? '' : keyOf(table, field.name, from);
  const reason = reasons[key], isAsked = open.some((point) => point.step === 'columns' && point.path === path);
  const problems = mappingProblems.filter((problem) => (problem.path === path || problem.path.startsWith(`${path}.`)) && !problem.path.startsWith(`${path}.codes`));
  const [first] = found;
  const columns = [...new Set(found.flatMap((one) => one.columns.map(({ name }) => name)))];
  const set = (changed: FieldSource | null) => {
    change(withField(mapping, place, field.name, changed), ...(changed === null ? [] : [keyOf(table, field.name, changed)]));
  };
  const pick = (value: string) => {
    setTyping(value === anyConstant);
    if (value === nowhere) set(null);
    else if (value.startsWith(anyConstant) && value !== anyConstant) set({ constant: value.slice(1) });
    else if (value !== anyConstant) {
      const column = columnOf(found, value.slice(1));
      if (column !== null && first !== undefined) set(suggestField(field, column, first));
    }
  };
  const label = fieldWords(field), where = `${label}, ${recordsWords(table)}, ${sourceName(source)}`;
  const listed = from !== null && 'column' in from && !columns.includes(from.column) ? [from.column, ...columns] : columns;
  const column = from !== null && 'column' in from ? columnOf(found, from.column) : null;
  return (
    <div role="group" aria-label={where} className="field-row" data-field={field.name} data-state={isAsked || problems.some(({ blocks }) => blocks) ? 'asked' : from === null ? 'absent' : 'set'}>
      <div className="what" id={`${id}-what`}>
        <p><strong>{label}</strong>{field.required && <span className="needed"> needed</span>}</p>
        <p className="help">{field.description}{field.unit !== null && ` In ${field.unit}.`}</p>
      </div>
      <div className="from">
        <Pick
          label={`Column for ${where}`} labelHidden value={isTyping ? anyConstant : from === null ? nowhere : 'column' in from ? `:${from.column}` : field.list === null ? anyConstant : `=${from.constant}`} onChange={pick}
          options={[
            { value: nowhere, label: 'Not in the files' },
            ...(field.list === null
              ? [{ value: anyConstant, label: 'The same in every record' }]
              : [{ group: 'The same in every record', options: codesFor(field).map(({ code, label: words }) => ({ value: `=${code}`, label: `${words}, in every record` })) }]),
            { group: 'Columns', options: listed.map((name) => ({ value: `:${name}`, label: name })) },
          ]}
        />
        {(isTyping || (from !== null && 'constant' in from && field.list === null)) && (
          <Entry label={`${label} of every record`} value={from !== null && 'constant' in from ? from.constant : ''} onChange={(value) => { if (value !== '') { setTyping(false); set({ constant: value }); } }} />
        )}
        {isAsked && reason?.confidence === 'unsure' && (from === null || !('column' in from) || field.kind !== 'date' || from.dates !== undefined || column === null || column.dateOrders.length < 2) && <button type="button" className="button small" aria-label={`That is right: ${where}`} onClick={() => { settle(key); }}>That is right</button>}
        {from !== null && 'column' in from && field.kind === 'date' && column !== null && (
          <DayOrder from={from} column={column} samples={samplesOf(found, from.column, 200)} name={where} onChange={(dates) => { set({ ...from, dates }); }} />
        )}
        {from !== null && 'column' in from && <ColumnSettings field={field} from={from} name={where} onChange={set} />}
        {from === null && field.required && !isTyping && <p className="help">Choose a column, or what it is in every record.</p>}
        {problems.filter(() => from !== null).map(({ message }) => <p key={message} className="problem">{message}</p>)}
      </div>
      <div className="evidence">
        {from !== null && 'column' in from && (
          <ul className="samples" aria-label={`Values of ${from.column}`}>
            {samplesOf(found, from.column).map((value) => <li key={value}>{value}</li>)}
            {column !== null && <li className="soft">{column.filled === 0 ? 'empty in the rows looked at' : column.distinct === 1 ? 'one value' : `${formatCount(column.distinct)} different values`}</li>}
          </ul>
        )}
        {from !== null && <p className="why">{reason !== undefined && !settled.has(key) ? reason.why : 'Set or confirmed by you.'}</p>}
      </div>
    </div>
  );
}

