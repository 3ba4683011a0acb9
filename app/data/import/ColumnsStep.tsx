'use client';
import { fieldsOf, type Field } from '../../../lib/contract/fields';
import type { SourceMapping, TableMapping } from '../../../lib/contract/mapping';
import { foundFor } from '../../../lib/reports/importing/draft';
import type { OpenPoint } from '../../../lib/reports/importing/openPoints';
import { fieldWords, recordsWords, sourceName } from '../../../lib/reports/importing/words';
import { Fold } from './Fold';
import { FieldRow } from './FieldRow';
import { UnusedColumns } from './UnusedColumns';
import { WhatIsThere } from './WhatIsThere';
import type { Importing } from './useImport';

/** Which column each field comes from. */
export function ColumnsStep(importing: Importing) {
  const { draft, open } = importing;
  const tables = draft.mapping.sources.flatMap((source, s) => source.tables.map((table, t) => ({ source, table, place: { source: s, table: t } })));
  return (
    <>
      <WhatIsThere draft={draft} />
      {tables.map(({ source, table, place }) => (
        <TableColumns
          key={`${place.source} ${place.table} ${table.table}`} importing={importing} source={source} table={table} place={place}
          asked={open.filter(({ step, path }) => step === 'columns' && path.startsWith(`sources.${place.source}.tables.${place.table}.`))}
        />
      ))}
      <UnusedColumns draft={draft} />
    </>
  );
}

function TableColumns({ importing, source, table, place, asked }: {
  readonly importing: Importing; readonly source: SourceMapping; readonly table: TableMapping; readonly place: { readonly source: number; readonly table: number };
  readonly asked: readonly OpenPoint[];
}) {
  const fields = fieldsOf(table.table), found = foundFor(importing.draft, source);
  const isAbsent = ({ name, required }: Field): boolean => table.fields[name] === undefined && !required;
  const used = fields.filter((field) => !isAbsent(field)), absent = fields.filter(isAbsent);
  const rows = (some: readonly Field[]) => (
    <ul className="fields">
      {some.map((field) => <li key={field.name}><FieldRow importing={importing} source={source} table={table} place={place} field={field} found={found} /></li>)}
    </ul>
  );
  return (
    <Fold
      className="table-columns" name={`${sourceName(source)}: ${recordsWords(table)}`} startsOpen={asked.length > 0 || table.table === 'procedures'}
      summary={<><h3>{recordsWords(table)} <span className="soft">from {sourceName(source)}</span></h3> <span className="state">{used.length} of {fields.length} fields{asked.length > 0 && `, ${asked.length} to answer`}</span></>}
    >
      {rows(used)}
      {absent.length > 0 && (
        <Fold className="absent" startsOpen={used.length === 0} summary={`Not in the file: ${absent.map((field) => fieldWords(field)).join(', ')}`}>{rows(absent)}</Fold>
      )}
    </Fold>
  );
}
