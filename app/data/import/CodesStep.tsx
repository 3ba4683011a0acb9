'use client';
import { fieldPath, withField } from '../../../lib/contract/editMapping';
import type { FoundColumn } from '../../../lib/intake/inspection';
import { codeRows, type CodeRow } from '../../../lib/reports/importing/codes';
import { codeKey, columnOf, foundFor, keyOf } from '../../../lib/reports/importing/draft';
import { mappedFields, type MappedField } from '../../../lib/reports/importing/openPoints';
import { formatCount } from '../../../lib/reports/format';
import { codesFor, fieldWords, recordsWords, sourceName } from '../../../lib/reports/importing/words';
import { TextButton } from '../../parts/TextButton';
import { Fold } from './Fold';
import { Pick } from './Pick';
import type { Importing } from './useImport';

/** Which of the file’s codes is which of the dictionary’s. */
export function CodesStep(importing: Importing) {
  const { draft } = importing;
  const coded = mappedFields(draft).flatMap((mapped) => {
    if (mapped.field.list === null || !('column' in mapped.from)) return [];
    const column = columnOf(foundFor(draft, mapped.source), mapped.from.column);
    return column === null ? [] : [{ mapped, column }];
  });
  if (coded.length === 0) return <p>No column with codes is used yet.</p>;
  return (
    <>
      <p>The counts are of the rows looked at. A value that is left as it is, and is no code of the dictionary, is set aside with its record or alone, and listed after loading.</p>
      {coded.map(({ mapped, column }) => <Codes key={fieldPath(mapped.place, mapped.field.name)} importing={importing} mapped={mapped} column={column} />)}
    </>
  );
}

const asItIs = 'as it is', notRecorded = 'not recorded', undecided = '';

function Codes({ importing: { draft, change, settle }, mapped: { place, source, table, field, from }, column }: {
  readonly importing: Importing; readonly mapped: MappedField; readonly column: FoundColumn;
}) {
  if (!('column' in from)) return null;
  const key = keyOf(table, field.name, from);
  const rows = codeRows(field, from, column);
  const isOpen = ({ value, becomes }: CodeRow): boolean => becomes === undefined && !draft.settled.has(codeKey(key, value));
  const open = rows?.filter(isOpen) ?? [];
  const name = `${fieldWords(field)}, ${recordsWords(table)}, ${sourceName(source)}`;
  const pick = (value: string, choice: string) => {
    const others = Object.entries(from.codes ?? {}).filter(([other]) => other !== value);
    const codes = Object.fromEntries(choice === asItIs || choice === undecided ? others : [...others, [value, choice === notRecorded ? null : choice]]);
    change(withField(draft.mapping, place, field.name, { ...from, codes }), key, codeKey(key, value));
  };
  return (
    <Fold
      className="codes" name={`${recordsWords(table)}: ${field.name}`} startsOpen={open.length > 0}
      summary={(
        <>
          <h3>{fieldWords(field)} <span className="soft">{recordsWords(table)}, column ‘{from.column}’</span></h3>{' '}
          <span className="state">{rows === null ? 'too many values' : open.length > 0 ? `${open.length} of ${rows.length} to answer` : `${rows.length} values`}</span>
        </>
      )}
    >
      {rows === null
        ? <p className="problem">The column holds {formatCount(column.distinct)} different values: it is hardly a column of codes. Choose another column, or load it as it is; what is no code is set aside.</p>
        : (
          <ul className="code-rows">
            {rows.map((row) => (
              <li key={row.value} data-state={isOpen(row) ? 'asked' : 'set'}>
                <span className="value">{row.value}</span>
                <span className="soft">{formatCount(row.rows)} rows</span>
                <Pick
                  label={`${row.value}: ${name}`} labelHidden value={chosen(row, isOpen(row))} onChange={(choice) => { pick(row.value, choice); }}
                  options={[
                    ...(isOpen(row) ? [{ value: undecided, label: 'choose what it means' }] : []),
                    ...codesFor(field).map(({ code, label }) => ({ value: code, label: code === row.value ? `${label} (as it is)` : label })),
                    { value: notRecorded, label: 'Not recorded' },
                    ...(row.isCode ? [] : [{ value: asItIs, label: `Leave as it is: ${formatCount(row.rows)} rows set aside or blanked` }]),
                  ]}
                />
              </li>
            ))}
          </ul>
        )}
      {open.length > 1 && <p><TextButton label={`Leave the ${open.length} open values as they are: ${name}`} onPress={() => { settle(key, ...open.map(({ value }) => codeKey(key, value))); }}>Leave the {open.length} open values as they are</TextButton></p>}
    </Fold>
  );
}

const chosen = ({ becomes }: CodeRow, isOpen: boolean): string => (isOpen ? undecided : becomes === null ? notRecorded : becomes ?? asItIs);
