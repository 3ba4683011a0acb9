import { columnOf, foundFor, type Draft } from './draft';

const ends: readonly string[] = ['revision_date', 'death_date', 'follow_up_end', 'visit_date', 'procedure_date'];

/** The latest day on which something happened, in the rows that were looked at: no closing date lies before it. Null where no such day is known. */
export function latestDay(draft: Draft): { readonly day: string; readonly column: string } | null {
  let latest: { readonly day: string; readonly column: string } | null = null;
  for (const source of draft.mapping.sources) {
    for (const [field, from] of source.tables.flatMap(({ fields }) => Object.entries(fields))) {
      const day = ends.includes(field) && 'column' in from ? columnOf(foundFor(draft, source), from.column)?.latest ?? null : null;
      if (day !== null && 'column' in from && (latest === null || day > latest.day)) latest = { day, column: from.column };
    }
  }
  return latest;
}
