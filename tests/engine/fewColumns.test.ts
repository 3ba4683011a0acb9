import { describe, expect, it } from 'vitest';
import { sql } from '../../lib/engine/database';
import { loadExtract } from '../../lib/engine/loadExtract';
import type { LoadReport } from '../../lib/contract/loadReport';
import type { ExtractFile } from '../../lib/intake/extractFile';
import { engines } from './engines';
import { csv, textFile } from './smallExtract';

const registry = textFile('registry.csv', csv('registry', [{}]));
const file = (name: string, ...lines: string[]): ExtractFile => textFile(`${name}.csv`, `${lines.join('\n')}\n`);

/** A hospital's audit: what it has is a number, a day, a design, and the day of the revision or the last day of follow-up. */
const audit = [
  file('procedures', 'procedure_id,procedure_date,joint,follow_up_end', '1,2010-01-01,shoulder,', '2,2010-02-01,shoulder,2015-06-30', '3,2011-03-01,shoulder,2012-01-01', '4,2012-01-01,shoulder,'),
  file('components', 'procedure_id,role,design_class', '1,glenoid,all_poly_keeled', '2,glenoid,metal_backed', '3,glenoid,metal_backed'),
  file('revisions', 'procedure_id,revision_date,kind', '1,2013-01-01,unspecified', '3,2012-01-01,unspecified', '3,2012-06-01,unspecified'),
  registry,
];

async function loaded<T>(open: (typeof engines)[number]['open'], files: readonly ExtractFile[], query: string, read: (rows: (string | null)[][], report: LoadReport) => T): Promise<T> {
  const result = await loadExtract(open, files);
  if (result.status === 'refused') throw new Error(result.problems.map(({ message }) => message).join('\n'));
  const { database } = result.extract, rows = await database.query(sql(`SELECT ${query}`));
  const columns = query.slice(0, query.indexOf(' FROM')).split(', ').map((name) => rows.texts(name.split(/[ .]/).at(-1) ?? ''));
  const table = Array.from({ length: rows.rowCount }, (_, i) => columns.map((column) => column[i] ?? null));
  await database.close();
  return read(table, result.report);
}

describe.each(engines)('an extract of few columns, $engine', ({ open }) => {
  it('a hospital’s audit with four columns: revisions link by the key, every procedure is its own patient', async () => {
    await loaded(open, audit, 'patient, patient_known, exit_day, ending, kind, glenoid_design, glenoid_model, hospital, side FROM followup ORDER BY procedure', (rows, report) => {
      expect(rows).toEqual([
        ['0', 'false', '1096', 'revision', 'unspecified', 'all_poly_keeled', null, null, null],
        ['1', 'false', '1975', 'censored', null, 'metal_backed', null, null, null],
        ['2', 'false', '306', 'revision', 'unspecified', 'metal_backed', null, null, null],
        ['3', 'false', '3287', 'censored', null, null, null, null, null]]);
      expect(report.revisions).toMatchObject({ linkedById: 3, firstRevisions: 2, reRevisions: 1, afterFollowUp: 0 });
      expect(report.recorded).toMatchObject({ procedures: 4, of: { patient: 0, sex: 0, hospital: 0 }, components: { glenoid: { model: 0, design: 3, material: 0 } }, followUpEnds: 2 });
      for (const { read, kept, setAside } of report.tables) expect(read).toBe(kept + setAside);
    });
  });

  it('the report says what can’t be said, a sentence for each', async () => {
    const { notes } = await loaded(open, audit, 'procedure FROM followup', (_, report) => report);
    for (const start of ['No patient is recorded', 'No side', 'No class', 'No indication', 'No age', 'No sex', 'No hospital', 'No surgeon', 'No model is recorded of: glenoid component',
      'No reason for a revision', 'No removed component', 'Of 2 first revisions, 2 are known as a revision only']) {
      expect(notes.filter((note) => note.startsWith(start) && note.endsWith('.')), start).toHaveLength(1);
    }
  });

  it('grouped by hospital: no components are needed at all', async () => {
    await loaded(open, [file('procedures', 'procedure_id,procedure_date,joint,hospital_id', '1,2010-01-01,hip,H1'), file('revisions', 'procedure_id,revision_date,kind', '1,2010-01-01,major'), registry],
      'exit_day, ending, hospital, femoral_stem_model FROM followup', (rows, report) => {
        expect(rows).toEqual([['0', 'revision', 'H1', null]]);
        expect(report.notes.join(' ')).toContain('No component is recorded');
      });
  });

  it('without a catalogue the models are those that the components name, and disagreement is told, not decided', async () => {
    const files = [
      file('procedures', 'procedure_id,procedure_date,joint', ...[1, 2, 3, 4].map((n) => `${n},2010-01-0${n},shoulder`)),
      file('components', 'procedure_id,role,model_code,design_class', '1,glenoid,A,all_poly_keeled', '2,glenoid,A,metal_backed', '3,glenoid,B,', '4,glenoid,B,all_poly_pegged', '1,humeral_stem,A,short_stem',
        '2,humeral_stem,C,all_poly_keeled', `3,humeral_stem,${'x'.repeat(65)},short_stem`),
      file('revisions', 'procedure_id,revision_date,kind'), registry];
    await loaded(open, files, 'glenoid_model, glenoid_design, humeral_stem_model FROM followup ORDER BY procedure', (rows, report) => {
      expect(rows).toEqual([['A', 'all_poly_keeled', 'A'], ['A', 'metal_backed', null], ['B', null, null], ['B', 'all_poly_pegged', null]]);
      expect(report.notes.filter((note) => note.includes('catalogue'))).toEqual([
        'There is no catalogue of models: 2 models stand as the components name them, so that a slip in a code makes a model of its own.',
        '1 of them is recorded with more than one role or design class (A): each component counts as it was recorded, and which is right can’t be said without a catalogue.']);
      expect(report.rules.map(({ table, rule, count }) => [table, rule, count])).toEqual([['components', 'design_not_for_role', 1], ['components', 'too_long', 1]]);
    });
    expect(await loaded(open, files, 'model_code, role, design_class, maker_code FROM models ORDER BY model_code', (rows) => rows)).toEqual(
      [['A', null, null, null], ['B', 'glenoid', 'all_poly_pegged', null]]);
  });

  it('with a catalogue, a design class left out is that of the model', async () => {
    await loaded(open, [
      file('procedures', 'procedure_id,procedure_date,joint', '1,2010-01-01,shoulder'), file('components', 'procedure_id,role,model_code', '1,glenoid,G01'),
      file('models', 'model_code,role,design_class', 'G01,glenoid,metal_backed'), file('revisions', 'procedure_id,revision_date,kind'), registry],
    'glenoid_model, glenoid_design FROM followup', (rows) => { expect(rows).toEqual([['G01', 'metal_backed']]); });
  });

  it('linking by patient, joint and side needs all three on both: where a side is not known, nothing is guessed', async () => {
    await loaded(open, [
      file('procedures', 'procedure_id,patient_id,procedure_date,joint,side', '1,a,2010-01-01,shoulder,left', '2,a,2010-01-01,shoulder,', '3,b,2010-01-01,shoulder,', '4,b,2010-02-01,shoulder,', '5,,2010-01-01,shoulder,left', '6,,2010-01-01,shoulder,left'),
      file('revisions', 'procedure_id,patient_id,joint,side,revision_date,kind', ',a,shoulder,left,2011-01-01,major', ',b,shoulder,left,2011-01-01,major', '2,,,,2011-02-01,minor', ',,shoulder,left,2011-01-01,major'),
      file('deaths', 'patient_id,death_date', 'a,2012-01-01', 'b,2010-06-01'), registry],
    'patient, exit_day, ending, kind FROM followup ORDER BY procedure', (rows, report) => {
      expect(rows).toEqual([
        ['0', '365', 'revision', 'major'], ['0', '396', 'revision', 'minor'], ['2', '151', 'death', null], ['2', '120', 'death', null],
        ['4', '4017', 'censored', null], ['5', '4017', 'censored', null]]);
      expect(report.rules.map(({ rule, count }) => [rule, count])).toEqual([['no_primary', 1], ['nothing_to_link_by', 1]]);
      expect(report.revisions).toMatchObject({ linkedById: 1, linkedByPatientJointSide: 1 });
    });
  });

  it('re-operations without keys are told apart by what stands in them', async () => {
    await loaded(open, [
      file('procedures', 'procedure_id,procedure_date,joint', '1,2010-01-01,shoulder'),
      file('revisions', 'procedure_id,revision_date,kind', '1,2011-01-01,major', '1,2011-01-01,major', '1,2011-01-01,minor'), registry],
    'counts_as, kind FROM revisions ORDER BY kind', (rows, report) => {
      expect(rows).toEqual([['first_revision', 'major'], ['re_revision', 'minor']]);
      expect(report.rules.map(({ rule, examples }) => [rule, examples])).toEqual([['duplicate_record', [{ file: 'revisions.csv', line: 3, value: 'see line 2' }]]]);
    });
  });
});
