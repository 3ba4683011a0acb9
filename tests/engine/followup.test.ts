import { describe, expect, it } from 'vitest';
import { sql } from '../../lib/engine/database';
import { loadExtract } from '../../lib/engine/loadExtract';
import { openNodeDatabase } from '../../lib/engine/node';
import { smallExtract, type SmallExtract } from './smallExtract';

async function followup(extract: SmallExtract) {
  const result = await loadExtract(openNodeDatabase, smallExtract(extract));
  if (result.status === 'refused') throw new Error(result.problems.map((p) => p.message).join('\n'));
  const { database } = result.extract;
  const rows = await database.query(sql('SELECT f.*, p.procedure_id FROM followup f JOIN procedures p USING (procedure)'));
  return { rows, report: result.report };
}

// Days counted by hand: 2010-01-01 to 2020-12-31 is 11 years of 365 days, 3 leap days (2012, 2016, 2020), less the last day: 4,017.
describe('one patient after the other', () => {
  it('unrevised', async () => {
    const { rows } = await followup({ procedures: [{ procedure_id: 'p1', patient_id: 'a' }] });
    expect([rows.texts('exit_day'), rows.texts('ending')]).toEqual([['4017'], ['censored']]);
  });
});
