import { sql, type Database } from '../engine/database';

/** The hospitals and the calendar years of the procedures that were kept, in their order; what is not recorded comes last, as null. */
export interface Places {
  readonly hospitals: readonly (string | null)[];
  readonly years: readonly number[];
}

/** SQL of a hospital's position in `hospitals`, for a query on `followup`; −1: not recorded. */
export const hospitalCode = 'coalesce(enum_code(hospital)::INTEGER, -1)';

/** Every identifier in the order of `hospitalCode`, then null where a procedure has none. */
export async function placesOf(database: Database): Promise<Places & { readonly position: (code: number) => number }> {
  const found = await database.query(sql(`SELECT ${hospitalCode} AS code, any_value(hospital)::VARCHAR AS id FROM followup GROUP BY 1 ORDER BY code < 0, code`));
  const years = await database.query(sql('SELECT DISTINCT year::INTEGER AS year FROM followup ORDER BY 1'));
  const positions = new Map(Array.from(found.numbers('code'), (code, i) => [code, i]));
  return { hospitals: found.texts('id'), years: [...years.numbers('year')], position: (code) => positions.get(code) ?? -1 };
}
