import type { Query } from '../engine/database';
import { sql } from '../engine/database';

/** Every surgeon at every hospital of the extract. Columns: hospital, region, surgeon (each null: not recorded), procedures. */
export const unitNamesQuery: Query = sql(`SELECT hospital::VARCHAR AS hospital, any_value(region)::VARCHAR AS region,
  surgeon::VARCHAR AS surgeon, count(*)::INTEGER AS procedures
FROM followup GROUP BY followup.hospital, followup.surgeon ORDER BY followup.hospital, followup.surgeon`);
