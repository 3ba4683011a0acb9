import { describe, expect, it, beforeAll } from 'vitest';
import { fieldsOf } from '../../lib/contract/fields';
import type { LoadReport } from '../../lib/contract/loadReport';
import { rules } from '../../lib/contract/rules';
import type { TableName } from '../../lib/contract/tables';
import { sql } from '../../lib/engine/database';
import { loadExtract } from '../../lib/engine/loadExtract';
import { engines } from './engines';
import { csv, smallExtract, textFile, type SmallExtract } from './smallExtract';

/** A row that fails, as it would stand in an extract beside the good ones; what the report says of it. */
interface Story {
  readonly table: TableName;
  readonly story: string;
  readonly row: Readonly<Record<string, string | number | null>>;
  readonly finds: readonly [rule: string, field: string, value: string | null, scope?: 'value'];
}

const procedure = (story: string, row: Story['row'], ...finds: Story['finds']): Story => ({ table: 'procedures', story, row, finds });
const revision = (story: string, row: Story['row'], ...finds: Story['finds']): Story => ({ table: 'revisions', story, row: { revision_date: '2012-01-01', ...row }, finds });
const component = (story: string, row: Story['row'], ...finds: Story['finds']): Story => ({ table: 'components', story, row, finds });
const visit = (story: string, row: Story['row'], ...finds: Story['finds']): Story => ({ table: 'followups', story, row, finds });
const model = (story: string, row: Story['row'], ...finds: Story['finds']): Story => ({ table: 'models', story, row, finds });

const stories: readonly Story[] = [
  procedure('no joint', { procedure_id: 'x1', patient_id: 'x', joint: null }, 'missing', 'joint', null),
  procedure('a name too long for a patient, who could be another’s twin', { procedure_id: 'x26', patient_id: 'x'.repeat(65) }, 'too_long', 'patient_id', null),
  procedure('no key', { procedure_id: null, patient_id: 'x' }, 'missing', 'procedure_id', null),
  procedure('a name instead of a key', { procedure_id: 'x'.repeat(65), patient_id: 'x3' }, 'too_long', 'procedure_id', null),
  procedure('a German date', { procedure_id: 'x4', patient_id: 'x4', procedure_date: '01.03.2011' }, 'not_a_date', 'procedure_date', '01.03.2011'),
  procedure('30 February', { procedure_id: 'x5', patient_id: 'x5', procedure_date: '2011-02-30' }, 'not_a_date', 'procedure_date', '2011-02-30'),
  procedure('a date with a time', { procedure_id: 'x6', patient_id: 'x6', procedure_date: '2011-02-03 00:00:00' }, 'not_a_date', 'procedure_date', '2011-02-03 00:00:00'),
  procedure('a date of 1899', { procedure_id: 'x7', patient_id: 'x7', procedure_date: '1899-12-31' }, 'out_of_range', 'procedure_date', '1899-12-31'),
  procedure('a joint that is none', { procedure_id: 'x8', patient_id: 'x8', joint: 'elbow' }, 'unknown_code', 'joint', 'elbow'),
  procedure('a code in capitals', { procedure_id: 'x9', patient_id: 'x9', side: 'Left' }, 'unknown_code', 'side', 'Left'),
  procedure('a space after a code', { procedure_id: 'x10', patient_id: 'x10', sex: 'male ' }, 'unknown_code', 'sex', 'male '),
  procedure('markup in a code', { procedure_id: 'x11', patient_id: 'x11', indication: '<script>alert(1)</script>' }, 'unknown_code', 'indication', '<script>alert(1)</script>'),
  procedure('9 years old', { procedure_id: 'x12', patient_id: 'x12', age_years: 9 }, 'out_of_range', 'age_years', '9'),
  procedure('111 years old', { procedure_id: 'x13', patient_id: 'x13', age_years: 111 }, 'out_of_range', 'age_years', '111'),
  procedure('a fraction of a year', { procedure_id: 'x14', patient_id: 'x14', age_years: '67.5' }, 'not_a_whole_number', 'age_years', '67.5'),
  procedure('the marker 999', { procedure_id: 'x15', patient_id: 'x15', age_years: 999 }, 'out_of_range', 'age_years', '999'),
  procedure('a body mass index of 600', { procedure_id: 'v1', patient_id: 'v1', bmi: 600 }, 'out_of_range', 'bmi', '600', 'value'),
  procedure('a decimal comma', { procedure_id: 'v2', patient_id: 'v2', bmi: '27,5' }, 'not_a_number', 'bmi', '27,5', 'value'),
  procedure('an ASA grade in Roman', { procedure_id: 'v3', patient_id: 'v3', asa_grade: 'III' }, 'not_a_whole_number', 'asa_grade', 'III', 'value'),
  procedure('an ASA grade of 6', { procedure_id: 'v4', patient_id: 'v4', asa_grade: 6 }, 'out_of_range', 'asa_grade', '6', 'value'),
  procedure('an approach that is none', { procedure_id: 'v5', patient_id: 'v5', approach: 'keyhole' }, 'unknown_code', 'approach', 'keyhole', 'value'),
  procedure('an approach to the knee', { procedure_id: 'v6', patient_id: 'v6', approach: 'subvastus' }, 'code_not_for_joint', 'approach', 'subvastus', 'value'),
  procedure('a fixation that is none', { procedure_id: 'v7', patient_id: 'v7', distal_fixation: 'glued' }, 'unknown_code', 'distal_fixation', 'glued', 'value'),
  // An end of follow-up that can't be read must not turn into follow-up to the closing date.
  procedure('an end of follow-up that can’t be read', { procedure_id: 'x16', patient_id: 'x16', follow_up_end: '2015' }, 'not_a_date', 'follow_up_end', '2015'),
  procedure('a start of follow-up that can’t be read', { procedure_id: 'x17', patient_id: 'x17', follow_up_start: 'n/a' }, 'not_a_date', 'follow_up_start', 'n/a'),
  procedure('the same record again', { procedure_id: 'good', patient_id: 'good' }, 'duplicate_record', 'procedure_id', 'see line 2'),
  procedure('another record with the same key', { procedure_id: 'good', patient_id: 'good', age_years: 71 }, 'duplicate_key', 'procedure_id', 'see line 2'),
  procedure('a total hip in the shoulder', { procedure_id: 'x18', patient_id: 'x18', class: 'total_hip' }, 'code_not_for_joint', 'class', 'total_hip'),
  procedure('cuff tear arthropathy of the knee', { procedure_id: 'x19', patient_id: 'x19', joint: 'knee', class: 'total_knee', indication: 'cuff_arthropathy' },
    'code_not_for_joint', 'indication', 'cuff_arthropathy'),
  procedure('before the registry opened', { procedure_id: 'x20', patient_id: 'x20', procedure_date: '1999-12-31' }, 'before_opening', 'procedure_date', '1999-12-31'),
  procedure('after the closing date', { procedure_id: 'x21', patient_id: 'x21', procedure_date: '2021-01-01' }, 'after_closing', 'procedure_date', '2021-01-01'),
  procedure('left the country before the operation', { procedure_id: 'x22', patient_id: 'x22', follow_up_end: '2009-12-31' },
    'dates_reversed', 'follow_up_end', '2009-12-31 is before 2010-01-01'),
  procedure('follow-up that ends before it starts', { procedure_id: 'x23', patient_id: 'x23', follow_up_start: '2012-01-01', follow_up_end: '2011-01-01' },
    'dates_reversed', 'follow_up_end', '2011-01-01 is before 2012-01-01'),
  procedure('operated on after death', { procedure_id: 'x24', patient_id: 'dead', procedure_date: '2013-06-02' }, 'after_death', 'procedure_date', '2013-06-02 is after 2013-06-01'),
  procedure('a second primary on the same side', { procedure_id: 'second', patient_id: 'good', procedure_date: '2014-01-01' }, 'second_primary', 'side', 'shoulder left, see line 2'),
  procedure('seen by the registry only after it all ended', { procedure_id: 'x25', patient_id: 'x25', follow_up_start: '2020-12-31' },
    'no_time_at_risk', 'follow_up_start', 'at risk from 2020-12-31, follow-up ends 2020-12-31'),

  revision('no kind', { revision_id: 'y1', procedure_id: 'good', patient_id: 'good', kind: 'whole' }, 'unknown_code', 'kind', 'whole'),
  revision('no procedure named, and no side', { revision_id: 'y14', procedure_id: null, patient_id: 'good', side: null }, 'nothing_to_link_by', 'procedure_id', null),
  revision('of another patient’s shoulder, joint and side left out', { revision_id: 'y15', procedure_id: 'good', patient_id: 'dead', joint: null, side: null },
    'link_disagrees', 'procedure_id', 'another patient'),
  revision('of the other side, patient left out', { revision_id: 'y16', procedure_id: 'good', patient_id: null, joint: null, side: 'right' },
    'link_disagrees', 'procedure_id', 'right, but the procedure is shoulder left'),
  revision('after the death of a patient whom only the procedure names', { revision_id: 'y17', procedure_id: 'of-dead', patient_id: null, revision_date: '2013-06-03' },
    'after_death', 'revision_date', '2013-06-03 is after 2013-06-01'),
  revision('no key, word for word as the one below the good one', { revision_id: null, procedure_id: 'of-dead', patient_id: 'dead' }, 'duplicate_record', 'revision_id', 'see line 3'),
  revision('a component of the knee, where only the procedure says which joint', { revision_id: 'w3', procedure_id: 'good', patient_id: null, joint: null, components_removed: 'patella' },
    'code_not_for_joint', 'components_removed', 'patella', 'value'),
  revision('a reason that is none', { revision_id: 'w1', procedure_id: 'good', patient_id: 'good', reasons: 'pain;bad luck' }, 'unknown_code', 'reasons', 'pain;bad luck', 'value'),
  revision('a component of the knee removed', { revision_id: 'w2', procedure_id: 'good', patient_id: 'good', components_removed: 'patella' },
    'code_not_for_joint', 'components_removed', 'patella', 'value'),
  revision('the same re-operation again', { revision_id: 'known', procedure_id: 'good', patient_id: 'good', revision_date: '2011-01-01' }, 'duplicate_record', 'revision_id', 'see line 2'),
  revision('before the registry opened', { revision_id: 'y2', procedure_id: 'good', patient_id: 'good', revision_date: '1999-01-01' }, 'before_opening', 'revision_date', '1999-01-01'),
  revision('after the closing date', { revision_id: 'y3', procedure_id: 'good', patient_id: 'good', revision_date: '2021-01-01' }, 'after_closing', 'revision_date', '2021-01-01'),
  revision('a key that is not in the extract', { revision_id: 'y4', procedure_id: 'nowhere', patient_id: 'good' }, 'no_such_procedure', 'procedure_id', null),
  revision('of a procedure that was set aside', { revision_id: 'y5', procedure_id: 'x12', patient_id: 'x12' }, 'procedure_set_aside', 'procedure_id', null),
  revision('of a procedure that was set aside, found by its side', { revision_id: 'y6', procedure_id: null, patient_id: 'x13' }, 'procedure_set_aside', 'procedure_id', null),
  revision('of a procedure never at risk', { revision_id: 'y7', procedure_id: null, patient_id: 'x25', revision_date: '2020-12-31' }, 'procedure_set_aside', 'procedure_id', null),
  revision('of the other side', { revision_id: 'y8', procedure_id: 'good', patient_id: 'good', side: 'right' },
    'link_disagrees', 'procedure_id', 'shoulder right, but the procedure is shoulder left'),
  revision('of another patient', { revision_id: 'y9', procedure_id: 'good', patient_id: 'dead' }, 'link_disagrees', 'procedure_id', 'another patient'),
  revision('of a side never operated on', { revision_id: 'y10', procedure_id: null, patient_id: 'good', side: 'right' }, 'no_primary', 'procedure_id', 'shoulder right'),
  revision('after two primaries of one side', { revision_id: 'y11', procedure_id: null, patient_id: 'good', revision_date: '2014-01-01' }, 'ambiguous_link', 'procedure_id', 'shoulder left'),
  revision('before its primary', { revision_id: 'y12', procedure_id: 'good', patient_id: 'good', revision_date: '2009-12-31' },
    'before_procedure', 'revision_date', '2009-12-31 is before 2010-01-01'),
  revision('after death', { revision_id: 'y13', procedure_id: 'of-dead', patient_id: 'dead', revision_date: '2013-06-02' }, 'after_death', 'revision_date', '2013-06-02 is after 2013-06-01'),

  component('neither model nor design', { procedure_id: 'good', role: 'humeral_stem', model_code: null, design_class: null }, 'neither_model_nor_design', 'model_code', null),
  component('the same component again', { procedure_id: 'good' }, 'duplicate_record', 'procedure_id', 'see line 2'),
  component('two glenoids in one shoulder', { procedure_id: 'good', model_code: 'G02', design_class: 'metal_backed' }, 'duplicate_key', 'procedure_id', 'see line 2'),
  component('of no procedure', { procedure_id: 'nowhere' }, 'no_such_procedure', 'procedure_id', null),
  component('of a procedure that was set aside', { procedure_id: 'x12' }, 'procedure_set_aside', 'procedure_id', null),
  component('of a second primary', { procedure_id: 'second' }, 'procedure_set_aside', 'procedure_id', null),
  component('a patella in the shoulder', { procedure_id: 'of-dead', role: 'patella', model_code: 'S01', design_class: 'all_poly_patella' }, 'code_not_for_joint', 'role', 'patella'),
  component('a model that is not in the catalogue', { procedure_id: 'v1', model_code: 'Z99' }, 'not_in_catalogue', 'model_code', 'Z99'),
  component('a stem in the place of the glenoid', { procedure_id: 'v2', model_code: 'S01', design_class: 'short_stem' }, 'role_disagrees', 'role', 'glenoid, but the model is humeral_stem'),
  component('keeled by the record, pegged by the catalogue', { procedure_id: 'v3', design_class: 'all_poly_keeled' },
    'design_disagrees', 'design_class', 'all_poly_keeled, but the model is all_poly_pegged'),
  component('a material that is none', { procedure_id: 'v4', material: 'wood' }, 'unknown_code', 'material', 'wood', 'value'),

  visit('of no procedure', { procedure_id: 'nowhere' }, 'no_such_procedure', 'procedure_id', null),
  visit('before the operation', { procedure_id: 'good', visit_date: '2009-12-31' }, 'before_procedure', 'visit_date', '2009-12-31 is before 2010-01-01'),
  visit('for the baseline, a month after the operation', { procedure_id: 'of-dead', visit: 'before', visit_date: '2010-02-01' },
    'after_procedure', 'visit_date', '2010-02-01 is after 2010-01-01'),
  visit('after the closing date', { procedure_id: 'good', visit: '10y', visit_date: '2021-01-01' }, 'after_closing', 'visit_date', '2021-01-01'),
  visit('of a window that is none', { procedure_id: 'good', visit: '18m', visit_date: '2011-07-01' }, 'unknown_code', 'visit', '18m'),
  visit('after death', { procedure_id: 'of-dead', visit_date: '2013-07-01' }, 'after_death', 'visit_date', '2013-07-01 is after 2013-06-01'),
  visit('a cortical thinning of grade 7', { procedure_id: 'v2', visit_date: '2011-01-01', thinning_tip: '7' }, 'unknown_code', 'thinning_tip', '7', 'value'),
  visit('a flexion of 300 degrees', { procedure_id: 'v1', visit_date: '2011-01-01', flexion_deg: 300 }, 'out_of_range', 'flexion_deg', '300', 'value'),

  model('a keeled stem', { model_code: 'bad1', role: 'humeral_stem', design_class: 'all_poly_keeled' }, 'design_not_for_role', 'design_class', 'all_poly_keeled as humeral_stem'),
  model('last used before it was first used', { model_code: 'G03', role: 'glenoid', design_class: 'metal_backed', first_used: '2012-01-01', last_used: '2011-01-01' },
    'dates_reversed', 'last_used', '2011-01-01 is before 2012-01-01', 'value'),

  { table: 'deaths', story: 'a second date of death', row: { patient_id: 'dead', death_date: '2014-01-01' }, finds: ['duplicate_key', 'patient_id', 'see line 2'] },
  { table: 'deaths', story: 'after the closing date of deaths', row: { patient_id: 'good', death_date: '2021-01-01' }, finds: ['after_closing', 'death_date', '2021-01-01'] },
];

const goodRows: Required<Pick<SmallExtract, 'procedures' | 'components' | 'models' | 'revisions' | 'deaths' | 'followups'>> = {
  procedures: [{ procedure_id: 'good', patient_id: 'good' }, { procedure_id: 'of-dead', patient_id: 'dead' }],
  components: [{ procedure_id: 'good' }],
  models: [
    { model_code: 'G01', role: 'glenoid', design_class: 'all_poly_pegged' }, { model_code: 'G02', role: 'glenoid', design_class: 'metal_backed' },
    { model_code: 'S01', role: 'humeral_stem', design_class: 'short_stem' }],
  revisions: [
    { revision_id: 'known', procedure_id: 'good', patient_id: 'good', revision_date: '2011-01-01' },
    { revision_id: null, procedure_id: 'of-dead', patient_id: 'dead', revision_date: '2012-01-01' }],
  deaths: [{ patient_id: 'dead', death_date: '2013-06-01' }],
  followups: [ // the visit before the operation lies before the opening; the one at two years was missed
    { procedure_id: 'good', visit: 'before', visit_date: '1999-12-01', pain: 8 }, { procedure_id: 'good', visit: '2y' }],
};
const rowsOf = (table: TableName): Story['row'][] =>
  [...(table in goodRows ? goodRows[table as keyof typeof goodRows] : []), ...stories.filter((story) => story.table === table).map(({ row }) => row)];
const lineOf = (story: Story): number => rowsOf(story.table).indexOf(story.row) + 2;
const extract = smallExtract(Object.fromEntries((['procedures', 'components', 'models', 'revisions', 'deaths', 'followups'] as const).map((t) => [t, rowsOf(t)])));

describe.each(engines)('every rule, $engine', ({ open }) => {
  let report: LoadReport, setAside: string[];
  beforeAll(async () => {
    const result = await loadExtract(open, extract);
    if (result.status === 'refused') throw new Error(result.problems[0]?.message);
    ({ report } = result);
    const rows = await result.extract.database.query(sql('SELECT * FROM set_aside'));
    const columns = ['table', 'line', 'rule', 'field', 'value', 'scope'].map((name) => rows.texts(name));
    setAside = Array.from({ length: rows.rowCount }, (_, i) => columns.map((column) => column[i]).join(' | '));
    await result.extract.database.close();
  }, 120_000);

  it.each(stories.map((story) => [story.table, story.story, story] as const))('%s, %s', (table, _, story) => {
    const [rule, field, value, scope = 'record'] = story.finds;
    const line = lineOf(story);
    expect(setAside.filter((found) => found.startsWith(`${table} | ${line} | `))).toEqual([[table, line, rule, field, value, scope].join(' | ')]);
  });

  it('nothing else is set aside', () => {
    expect(setAside).toHaveLength(stories.length);
  });

  it('read = kept + set aside in every table, and the counts are those of the stories', () => {
    for (const { table, read, kept, setAside: out, valuesSetAside } of report.tables) {
      const of = stories.filter((story) => story.table === table);
      const values = of.filter(({ finds }) => finds[3] === 'value').length;
      expect([table, kept + out, out, valuesSetAside]).toEqual([table, read, of.length - values, values]);
    }
  });

  it('no patient, procedure or re-operation is named', () => {
    const text = JSON.stringify(report);
    for (const { row } of stories) for (const id of ['patient_id', 'procedure_id', 'revision_id']) expect(text).not.toContain(`"value":"${String(row[id])}"`);
    expect(text).not.toContain('x'.repeat(65));
  });
});

it('every rule of the list has a story', () => {
  const told = new Set(stories.map(({ finds }) => finds[0]));
  expect(Object.keys(rules).filter((rule) => !told.has(rule))).toEqual(['wrong_number_of_cells']); // told below
});

it('the fields of every story are those of the contract', () => {
  for (const { table, row } of stories) expect(fieldsOf(table).map(({ name }) => name)).toEqual(expect.arrayContaining(Object.keys(row)));
});

describe.each(engines)('line numbers, $engine', ({ open }) => {
  it('are those of the file, past empty lines, cells over two lines and lines that could not be read', async () => {
    const [header = '', good = ''] = csv('procedures', [{ procedure_id: 'p1', patient_id: 'a' }]).split('\n');
    const bad = (id: string): string => good.replace('p1', id).replace(',a,', `,${id},`).replace(',70,', ',7,');
    const lines = [header, '', good, 'three,cells,only', good.replace('p1', 'p2').replace(',a,', ',b,').replace('H1', '"H\n1"'), bad('x1'), '', '', `${good},one,too,many`, bad('x2')];
    const files = smallExtract({}).map((file) => (file.name === 'procedures.csv' ? textFile('procedures.csv', lines.join('\n')) : file));
    const result = await loadExtract(open, files);
    if (result.status === 'refused') throw new Error(result.problems[0]?.message);
    const { tables: [procedures], rules: found } = result.report;
    expect(procedures).toMatchObject({ read: 6, kept: 2, setAside: 4 });
    expect(found.map(({ rule, examples }) => [rule, examples.map(({ line }) => line)])).toEqual([['wrong_number_of_cells', [4, 10]], ['out_of_range', [7, 11]]]);
    await result.extract.database.close();
  }, 60_000);
});
