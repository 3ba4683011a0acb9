import type { FoundSource } from '../../../lib/intake/inspection';
import { sourceName } from '../../../lib/reports/importing/words';
import { Fold } from './Fold';

const rowsShown = 5;

/** The first rows as they are written: what a cell holds is text and nothing else. */
export function Preview({ source, startsOpen }: { readonly source: FoundSource; readonly startsOpen: boolean }) {
  const { columns, preview } = source;
  if (columns.length === 0) return null;
  return (
    <Fold className="preview" startsOpen={startsOpen} summary="The first rows">
      <div className="scroll" role="region" tabIndex={0} aria-label={`First rows of ${sourceName(source)}`}>
        <table>
          <thead><tr>{columns.map(({ name }) => <th key={name} scope="col">{name}</th>)}</tr></thead>
          <tbody>
            {preview.slice(0, rowsShown).map((row, r) => <tr key={r}>{columns.map(({ name }, c) => <td key={name}>{row[c] ?? ''}</td>)}</tr>)}
          </tbody>
        </table>
      </div>
    </Fold>
  );
}
