import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { LoadReport } from '../../lib/contract/loadReport';
import { sql, type Database, type ResultSet } from '../../lib/engine/database';
import { roleBit } from '../../lib/engine/followupTable';
import { loadExtract } from '../../lib/engine/loadExtract';
import { engines } from './engines';
import { smallExtract } from './smallExtract';

/** Every patient was operated on the left shoulder on 1 January 2010 where nothing else is said. Follow-up closes on 31 December 2020. */
const procedures = [
  ['unrevised', {}], ['died', {}], ['revised', {}], ['revised-same-day', {}], ['revised-and-died', {}], ['revised-twice', {}],
  ['two-revisions-one-day', {}], ['reoperated', {}], ['died-in-theatre', {}], ['died-on-closing-date', {}], ['died-after-closing', {}],
  ['no-reason', {}], ['revision-without-key', {}],
  ['emigrated', { follow_up_end: '2015-01-01' }],
  ['emigrated-day-of-revision', { follow_up_end: '2015-01-01' }],
  ['joined-late', { follow_up_start: '2010-04-01' }],
  ['start-before-procedure', { follow_up_start: '2009-04-01' }],
  ['leap-day', { procedure_date: '2012-02-29' }],
  ['on-closing-date', { procedure_date: '2020-12-31' }],
  ['bilateral-left', { patient_id: 'bilateral' }],
  ['bilateral-right', { patient_id: 'bilateral', side: 'right', procedure_date: '2012-03-01' }],
  ['wrong-side-left', { patient_id: 'wrong-side' }],
  ['wrong-side-right', { patient_id: 'wrong-side', side: 'right', procedure_date: '2012-03-01' }],
  ['never-at-risk', { follow_up_start: '2015-01-01' }],
] as const;

const revisions = [
  { procedure_id: 'revised', revision_date: '2010-07-01', reasons: 'pain;infection', components_removed: 'humeral_head;glenoid' },
  { procedure_id: 'revised-same-day', revision_date: '2010-01-01' },
  { procedure_id: 'revised-and-died', revision_date: '2011-01-01' },
  { procedure_id: 'revised-twice', revision_date: '2012-01-01', kind: 'major', reasons: 'infection' },
  { procedure_id: 'revised-twice', revision_date: '2011-01-01', kind: 'minor', reasons: 'instability' },
  { procedure_id: 'two-revisions-one-day', revision_date: '2011-01-01', kind: 'minor', reasons: 'pain' },
  { procedure_id: 'two-revisions-one-day', revision_date: '2011-01-01', kind: 'major', reasons: 'stiffness' },
  { procedure_id: 'reoperated', revision_date: '2010-06-01', kind: 'reoperation' },
  { procedure_id: 'no-reason', revision_date: '2011-01-01', reasons: null },
  { procedure_id: null, patient_id: 'revision-without-key', revision_date: '2011-01-01' },
  { procedure_id: 'emigrated', revision_date: '2016-01-01' },
  { procedure_id: 'emigrated-day-of-revision', revision_date: '2015-01-01' },
  { procedure_id: 'leap-day', revision_date: '2013-02-28' },
  { procedure_id: null, patient_id: 'bilateral', side: 'right', revision_date: '2013-03-01' },
  { procedure_id: 'wrong-side-left', patient_id: 'wrong-side', side: 'right', revision_date: '2013-03-01' },
  { procedure_id: 'never-at-risk', revision_date: '2014-01-01' },
] as const;

const extract = smallExtract({
  registry: [{ deaths_closing_date: '2021-06-30' }],
  procedures: procedures.map(([id, more]) => ({ procedure_id: id, patient_id: id, ...more })),
  revisions: revisions.map((revision, i) => ({ revision_id: `r${i}`, patient_id: revision.procedure_id, ...revision })),
  deaths: [
    { patient_id: 'died', death_date: '2012-01-01' }, { patient_id: 'revised-and-died', death_date: '2011-01-01' },
    { patient_id: 'died-in-theatre', death_date: '2010-01-01' }, { patient_id: 'died-on-closing-date', death_date: '2020-12-31' },
    { patient_id: 'died-after-closing', death_date: '2021-01-05' },
  ],
});

// Days counted by hand. 2010-01-01 to 2020-12-31: 11 years of 365 days, leap days of 2012, 2016 and 2020, less one day = 4,017.
// 2010-01-01 to 2015-01-01: 5 × 365 + 1 (2012) = 1,826. To 2012-01-01: 730. To 2010-07-01: 31 + 28 + 31 + 30 + 31 + 30 = 181.
// 2012-03-01 to 2020-12-31: 9 years less January and February 2021 (59) and a day, with leap days 2016 and 2020: 3,285 + 2 − 60 = 3,227.
const expected: readonly [string, string, string, string | null, string | null][] = [
  ['unrevised', '4017', 'censored', null, null],
  ['died', '730', 'death', null, null],
  ['revised', '181', 'revision', 'major', 'infection'], // the first of its reasons in the declared order
  ['revised-same-day', '0', 'revision', 'major', 'glenoid_loosening'],
  ['revised-and-died', '365', 'revision', 'major', 'glenoid_loosening'], // a revision on the day of death comes first
  ['revised-twice', '365', 'revision', 'minor', 'instability'], // the first revision wins, whatever the order of the file
  ['two-revisions-one-day', '365', 'revision', 'major', 'stiffness'], // major before minor
  ['reoperated', '4017', 'censored', null, null], // no component changed
  ['died-in-theatre', '0', 'death', null, null],
  ['died-on-closing-date', '4017', 'death', null, null],
  ['died-after-closing', '4017', 'censored', null, null],
  ['no-reason', '365', 'revision', 'major', null],
  ['revision-without-key', '365', 'revision', 'major', 'glenoid_loosening'],
  ['emigrated', '1826', 'censored', null, null], // the later revision is out of follow-up
  ['emigrated-day-of-revision', '1826', 'revision', 'major', 'glenoid_loosening'],
  ['joined-late', '4017', 'censored', null, null],
  ['start-before-procedure', '4017', 'censored', null, null],
  ['leap-day', '365', 'revision', 'major', 'glenoid_loosening'],
  ['on-closing-date', '0', 'censored', null, null],
  ['bilateral-left', '4017', 'censored', null, null],
  ['bilateral-right', '365', 'revision', 'major', 'glenoid_loosening'], // the revision of the second side stays with the second side
  ['wrong-side-left', '4017', 'censored', null, null], // a revision that names one side and the key of the other goes to neither
  ['wrong-side-right', '3227', 'censored', null, null],
];

describe.each(engines)('one patient after the other, $engine', ({ open }) => {
  let database: Database, rows: ResultSet, report: LoadReport;
  beforeAll(async () => {
    const result = await loadExtract(open, extract);
    if (result.status === 'refused') throw new Error(result.problems.map((p) => p.message).join('\n'));
    ({ extract: { database }, report } = result);
    rows = await database.query(sql('SELECT f.*, p.procedure_id FROM followup f JOIN procedures p USING (procedure) ORDER BY procedure'));
  }, 60_000);
  afterAll(async () => { await database.close(); });
  const row = (id: string): number => rows.texts('procedure_id').indexOf(id);

  it.each(expected)('%s: day %s, %s', (id, exit, ending, kind, reason) => {
    expect(['exit_day', 'ending', 'kind', 'reason'].map((name) => rows.texts(name)[row(id)])).toEqual([exit, ending, kind, reason]);
  });

  it('has no row but these, in the order of the extract, each with the number of its record', () => {
    const kept = procedures.flatMap(([id], record) => (id === 'never-at-risk' ? [] : [{ id, record }]));
    expect(rows.texts('procedure_id')).toEqual(kept.map(({ id }) => id));
    expect([...rows.numbers('procedure')]).toEqual(kept.map(({ record }) => record));
  });

  it('both sides of one patient share the patient', () => {
    expect(rows.numbers('patient')[row('bilateral-left')]).toBe(rows.numbers('patient')[row('bilateral-right')]);
    expect(new Set(rows.numbers('patient')).size).toBe(expected.length - 2);
  });

  it('late entry counts from the day the registry could see a revision; an earlier start is no late entry', () => {
    expect(rows.texts('entry_day')[row('joined-late')]).toBe('90'); // January 31 + February 28 + March 31
    expect(rows.texts('entry_day').filter((day) => day !== null)).toHaveLength(1);
  });

  it('keeps which components were removed, none where none is recorded', () => {
    expect(rows.numbers('removed')[row('revised')]).toBe(roleBit('glenoid') + roleBit('humeral_head'));
    expect(rows.numbers('removed')[row('revised-twice')]).toBe(0);
    expect(rows.texts('removed')[row('unrevised')]).toBe(null);
  });

  it('accounts for every re-operation', () => {
    expect(report.revisions).toEqual({ linkedById: 12, linkedByPatientJointSide: 2, firstRevisions: 10, reRevisions: 2, reoperations: 1, afterFollowUp: 1 });
    expect(report.tables.find(({ table }) => table === 'revisions')).toMatchObject({ read: 16, kept: 14, setAside: 2 });
  });

  it('says what was set aside, and never who', () => {
    expect(report.rules.map(({ table, field, rule, count, examples }) => ({ table, field, rule, count, examples }))).toEqual([
      { table: 'procedures', field: 'follow_up_start', rule: 'no_time_at_risk', count: 1,
        examples: [{ file: 'procedures.csv', line: 25, value: 'at risk from 2015-01-01, follow-up ends 2014-01-01' }] },
      { table: 'revisions', field: 'procedure_id', rule: 'link_disagrees', count: 1,
        examples: [{ file: 'revisions.csv', line: 16, value: 'shoulder right, but the procedure is shoulder left' }] },
      { table: 'revisions', field: 'procedure_id', rule: 'procedure_set_aside', count: 1, examples: [{ file: 'revisions.csv', line: 17, value: null }] },
    ]);
    const text = JSON.stringify(report);
    for (const [id] of procedures) if (id.includes('-') && id !== 'on-closing-date') expect(text).not.toContain(`"${id}"`);
  });
});
