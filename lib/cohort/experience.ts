import { enumCode } from './sql';

// Keys of parts of a unit's procedures, as SQL of text.

/** 'first': among the surgeon's first 20 procedures of this joint that the extract knows of; 'later'; null: the surgeon is not recorded. */
export const earlyInSeries = `CASE WHEN surgeon IS NULL THEN NULL WHEN procedure IN (SELECT procedure FROM followup
QUALIFY row_number() OVER (PARTITION BY surgeon, joint ORDER BY procedure_day, procedure) <= 20) THEN 'first' ELSE 'later' END`;

/** The place, from 1, of the band that has the surgeon's code; null: in none. */
export const surgeonBand = (bands: readonly (readonly number[])[]): string => {
  const filled = bands.flatMap((codes, i) => (codes.length === 0 ? [] : [`WHEN ${enumCode('surgeon')} IN (${codes.join(', ')}) THEN '${i + 1}'`]));
  return filled.length === 0 ? 'NULL::VARCHAR' : `CASE ${filled.join(' ')} END`;
};
