import type { Metadata } from 'next';
import { codeLists } from '../../lib/contract/codes';
import { tableNames } from '../../lib/contract/fields';
import { CodeList } from './CodeList';
import { TableFields } from './TableFields';
import './dictionary.css';

export const metadata: Metadata = { title: 'Dictionary' };

/** The tables of an extract, their fields and code lists, read from the contract that the checks are made from. */
export default function DictionaryPage() {
  return (
    <div className="dictionary">
      <h1>Data dictionary</h1>
      <p>
        An extract is a data package: one file per table, as CSV in UTF-8 with a comma between cells and a header line, or as Parquet.
        Dates are calendar days written as YYYY-MM-DD. Columns in any order; others are not read.
      </p>
      {tableNames.map((table) => <TableFields key={table} table={table} />)}
      <h2>Code lists</h2>
      {Object.entries(codeLists).map(([name, codes]) => <CodeList key={name} name={name} codes={codes} />)}
    </div>
  );
}
