import { speaksOf, type Draft } from '../../../lib/reports/importing/draft';
import { sourceName } from '../../../lib/reports/importing/words';

/** Columns that no field comes from, those first that should not be in an extract at all. */
export function UnusedColumns({ draft: { sources, mapping } }: { readonly draft: Draft }) {
  const files = sources.flatMap((found) => {
    const spoken = mapping.sources.filter((source) => speaksOf(source, found));
    const used = new Set(spoken.flatMap(({ tables }) => tables.flatMap(({ when, fields }) => [...(when === null ? [] : [when]), ...Object.values(fields).flatMap((from) => ('column' in from ? [from.column] : []))])));
    const cautions = found.columns.flatMap(({ name, caution }) => (caution === null ? [] : [`${name}: ${caution}`]));
    const unused = found.columns.filter(({ name }) => !used.has(name)).map(({ name }) => name);
    return unused.length === 0 && cautions.length === 0 ? [] : [{ name: sourceName(found), cautions, unused }];
  });
  if (files.length === 0) return null;
  return (
    <section className="unused" aria-label="Columns that are not used">
      <h3>Columns that are not used</h3>
      <ul>
        {files.map(({ name, cautions, unused }) => (
          <li key={name}>
            <strong>{name}</strong>{unused.length > 0 && `: ${unused.join(', ')}`}
            {cautions.map((caution) => <p key={caution} className="problem">{caution}</p>)}
          </li>
        ))}
      </ul>
    </section>
  );
}
