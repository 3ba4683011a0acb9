import { fieldsOf, type Field } from '../../lib/contract/fields';
import { tables, type TableName } from '../../lib/contract/tables';

const limits = ({ min, max, maxLength, unit }: Field): string => {
  const range = min !== null && max !== null ? `${min}–${max}` : maxLength !== null ? `up to ${maxLength} characters` : '';
  return unit === null ? range : `${range} ${unit}`;
};

const kinds: Readonly<Record<Field['kind'], string>> = {
  text: 'text', date: 'day', integer: 'whole number', number: 'number', code: 'code', codes: 'codes, joined with ;',
};

/** One table of the extract. */
export function TableFields({ table }: { readonly table: TableName }) {
  const { title, grain, primaryKey, required } = tables[table];
  return (
    <section id={table}>
      <h2>{title}</h2>
      <p><code>{table}</code>: {grain}. Key: {primaryKey.map((field) => <code key={field}>{field} </code>)}. {required ? 'Required.' : 'May be left out.'}</p>
      <div className="scroll" role="region" aria-label={`Fields of ${title}`} tabIndex={0}>
        <table>
          <thead><tr><th scope="col">Field</th><th scope="col">Kind</th><th scope="col">Limits</th><th scope="col">Empty allowed</th><th scope="col">Meaning</th></tr></thead>
          <tbody>
            {fieldsOf(table).map((field) => (
              <tr key={field.name}>
                <th scope="row"><code>{field.name}</code></th>
                <td>{field.list === null ? kinds[field.kind] : <a href={`#list-${field.list}`}>{kinds[field.kind]}</a>}</td>
                <td>{limits(field)}</td>
                <td>{field.required ? 'no' : 'yes'}</td>
                <td>{field.description}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </section>
  );
}
