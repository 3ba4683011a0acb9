import { describe, expect, it } from 'vitest';
import { eventCode, eventFragment } from '@/lib/cohort/outcome';
import { Outcome } from '@/lib/contract/question';
import { roleBit } from '@/lib/engine/followupTable';
import { followupDatabase, rowsOf } from './followup';

const endings = [
  {},
  { ending: 'death' },
  { ending: 'revision', kind: 'major', reason: 'glenoid_loosening', removed: roleBit('glenoid') },
  { ending: 'revision', kind: 'minor', reason: 'infection', removed: roleBit('humeral_head') },
  { ending: 'revision', kind: 'major', reason: 'infection', removed: roleBit('glenoid') | roleBit('humeral_stem') },
  { ending: 'revision', kind: 'major', reason: null, removed: 0 },
  { ending: 'revision', kind: 'unspecified', reason: null, removed: 0 },
];
const { censored, ofInterest, otherRevision, death } = eventCode;

describe('what ends follow-up', () => {
  it.each([
    { asked: 'any revision', outcome: {}, codes: [ofInterest, ofInterest, ofInterest, ofInterest, ofInterest] },
    { asked: 'a major revision, one of which the kind is not recorded being another one', outcome: { kinds: ['major'] }, codes: [ofInterest, otherRevision, ofInterest, ofInterest, otherRevision] },
    {
      asked: 'revision for loosening of the glenoid, a reason not recorded being another one',
      outcome: { reasons: ['glenoid_loosening'] }, codes: [ofInterest, otherRevision, otherRevision, otherRevision, otherRevision],
    },
    {
      asked: 'revision of the glenoid component, removal not recorded being none',
      outcome: { ofRoleOnly: true }, codes: [ofInterest, otherRevision, ofInterest, otherRevision, otherRevision],
    },
    {
      asked: 'a major revision of the glenoid component for infection',
      outcome: { kinds: ['major'], reasons: ['infection'], ofRoleOnly: true }, codes: [otherRevision, otherRevision, ofInterest, otherRevision, otherRevision],
    },
  ])('$asked', async ({ outcome, codes }) => {
    const database = await followupDatabase(endings);
    const { sql, params } = eventFragment(Outcome.parse(outcome), 'glenoid');
    const rows = await rowsOf(database, { sql: `SELECT (${sql})::INTEGER AS outcome FROM followup ORDER BY procedure`, params }, 'outcome');
    expect(rows.map((r) => r.outcome)).toEqual([censored, death, ...codes]);
    await database.close();
  });

  it('binds what is asked', () => {
    expect(eventFragment(Outcome.parse({ kinds: ['major'], reasons: ['infection'], ofRoleOnly: true }), 'glenoid')).toEqual({
      sql: `CASE ending WHEN 'revision' THEN CASE WHEN "kind" IN (?) AND "reason" IN (?) AND (removed & ?) <> 0 THEN 1 ELSE 2 END WHEN 'death' THEN 3 ELSE 0 END`,
      params: ['major', 'infection', 1],
    });
  });
});
