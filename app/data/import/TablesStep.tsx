'use client';
import { useState } from 'react';
import { withAddedTable, withoutTable, withSource, withTable } from '../../../lib/contract/editMapping';
import { mappableTables, type MappableTable, type SourceMapping, type TableMapping } from '../../../lib/contract/mapping';
import { foundFor, speaksOf } from '../../../lib/reports/importing/draft';
import { recordsWords, sourceName, tableGrains, tableWords } from '../../../lib/reports/importing/words';
import { suggestTable } from '../../../lib/intake/suggest/suggestPart';
import { TextButton } from '../../parts/TextButton';
import { Entry } from './Entry';
import { Fold } from './Fold';
import { Pick } from './Pick';
import type { Importing } from './useImport';

/** Which records each file holds: those of one table, or in a wide file of several. */
export function TablesStep(importing: Importing) {
  const { draft } = importing;
  return (
    <>
      <p>A <em>long</em> file holds one kind of record, such as a row for each re-operation. A <em>wide</em> file holds several in one row: the primary with its components, its re-operations or the patient’s death in further columns. Add every kind that a file holds; a kind can be added more than once.</p>
      <ul className="sources">
        {draft.mapping.sources.map((source, s) => <li key={`${source.file} ${source.sheet ?? ''} ${s}`}><Holds importing={importing} source={source} at={s} /></li>)}
      </ul>
    </>
  );
}

function Holds({ importing: { draft, change }, source, at }: { readonly importing: Importing; readonly source: SourceMapping; readonly at: number }) {
  const [adding, setAdding] = useState<MappableTable>('procedures');
  const { mapping } = draft;
  const found = foundFor(draft, source), columns = found[0]?.columns.map(({ name }) => name) ?? [];
  const unspoken = draft.sources.filter((one) => !mapping.sources.some((other) => other.tables.length > 0 && speaksOf(other, one)));
  const add = () => { change(withAddedTable(mapping, at, found[0] === undefined ? { table: adding, when: null, unless: [], fields: {} } : suggestTable(found[0], adding))); };
  return (
    <section className="source" aria-label={sourceName(source)} data-holds={sourceName(source)}>
      <h3>{sourceName(source)}</h3>
      {found.length === 0 && (
        <div className="doubts">
          <p>None of the chosen files has this name.</p>
          {unspoken.length > 0 && (
            <Pick label="Read it from" value="" options={[{ value: '', label: 'choose a file' }, ...unspoken.map((one) => ({ value: sourceName(one), label: sourceName(one) }))]} onChange={(value) => {
              const one = unspoken.find((other) => sourceName(other) === value);
              if (one !== undefined) change({ ...withSource(mapping, at, { file: one.file, sheet: one.sheet }), sources: withSource(mapping, at, { file: one.file, sheet: one.sheet }).sources.filter((other, o) => o === at || other.tables.length > 0) });
            }} />
          )}
        </div>
      )}
      {found.length > 1 && <p className="soft">Stands for {found.length} files: {found.map(({ file }) => file).join(', ')}.</p>}
      {source.tables.length === 0 && <p>Not used.</p>}
      <ul className="holds">
        {source.tables.map((table, t) => (
          <li key={t}>
            <Records table={table} columns={columns} onWhen={(when) => { change(withTable(mapping, { source: at, table: t }, { when })); }} />
            <TextButton label={`Take out: ${recordsWords(table)}, ${sourceName(source)}`} onPress={() => { change(withoutTable(mapping, { source: at, table: t })); }}>Take out</TextButton>
          </li>
        ))}
      </ul>
      <Fold className="more" startsOpen={source.tables.length === 0} summary="What else it holds, and its name in the next extract">
        <div className="adding">
          <Pick label="The file also holds" value={adding} options={mappableTables.map((value) => ({ value, label: tableWords[value] }))} onChange={(value) => { setAdding(mappableTables.find((table) => table === value) ?? adding); }} />
          <button type="button" className="button" onClick={add}>Add</button>
        </div>
        <Entry label="Name of the file in the mapping" value={source.file} help="* stands for what changes from one extract to the next, such as the year: primaries_*.csv" onChange={(file) => { if (file.trim() !== '') change(withSource(mapping, at, { file: file.trim() })); }} />
      </Fold>
    </section>
  );
}

function Records({ table, columns, onWhen }: { readonly table: TableMapping; readonly columns: readonly string[]; readonly onWhen: (when: string | null) => void }) {
  const { when } = table;
  const options = [
    { value: '', label: 'in every row' },
    ...[...new Set([...(when === null ? [] : [when]), ...columns])].map((name) => ({ value: `:${name}`, label: `where ‘${name}’ is filled` })),
  ];
  return (
    <div className="records">
      <p><strong>{recordsWords({ ...table, when: null })}</strong> <span className="soft grain">{tableGrains[table.table]}</span></p>
      <Pick label={`${tableWords[table.table]} stand`} labelHidden value={when === null ? '' : `:${when}`} options={options} onChange={(value) => { onWhen(value === '' ? null : value.slice(1)); }} />
    </div>
  );
}
