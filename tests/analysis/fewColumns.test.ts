import { describe, expect, it } from 'vitest';
import { analyse } from '@/lib/analysis/analyse';
import { answerChapter, chapterNames } from '@/lib/analysis/chapters/index';
import { Question } from '@/lib/contract/question';
import { comparisonWithoutUnrecorded } from '@/lib/contract/unrecorded';
import { loadExtract } from '@/lib/engine/loadExtract';
import { openNodeDatabase } from '@/lib/engine/node';
import type { ExtractFile } from '@/lib/intake/extractFile';
import { csv, textFile } from '../engine/smallExtract';
import { estimated } from '../stats/designs';

const registry = textFile('registry.csv', csv('registry', [{}]));
const file = (name: string, header: string, lines: readonly string[]): ExtractFile => textFile(`${name}.csv`, [header, ...lines, ''].join('\n'));
const day = (n: number): string => new Date(Date.UTC(2008, 0, 1) + n * 86_400_000).toISOString().slice(0, 10);

/** 600 procedures of two designs; every tenth pegged and every fifth keeled one is revised in the third year. */
const numbers = Array.from({ length: 600 }, (_, i) => i);
const isRevised = (i: number): boolean => i % (i % 2 === 0 ? 10 : 5) === 0;
const audit = [
  file('procedures', 'procedure_id,procedure_date,joint,follow_up_end', numbers.map((i) => `${i},${day(i)},shoulder,${i % 7 === 0 ? '2014-06-30' : ''}`)),
  file('components', 'procedure_id,role,design_class', numbers.map((i) => `${i},glenoid,${i % 2 === 0 ? 'all_poly_pegged' : 'all_poly_keeled'}`)),
  file('revisions', 'procedure_id,revision_date,kind', numbers.filter(isRevised).map((i) => `${i},${day(i + 700 + i % 50)},unspecified`)),
  registry,
];

async function loaded(files: readonly ExtractFile[]) {
  const result = await loadExtract(openNodeDatabase, files);
  if (result.status === 'refused') throw new Error(result.problems.map(({ message }) => message).join('\n'));
  return result;
}

describe('a hospital’s audit with four columns', () => {
  const usual = Question.parse({ adjust: ['age', 'sex', 'indication'], cluster: 'hospital' });

  it('is answered unadjusted, and says why it is not adjusted and what the limits do not allow for', async () => {
    const { extract } = await loaded(audit);
    const answer = await analyse(extract, usual);
    if (answer.status === 'empty') throw new Error(answer.reason);
    expect(answer.groups.map(({ key, procedures, events, hospitals }) => [key, procedures, events, hospitals])).toEqual(
      [['all_poly_keeled', 300, 60, 0], ['all_poly_pegged', 300, 60, 0]].sort());
    expect(answer.adjusted).toEqual({ status: 'notEstimable', reason: 'not recorded for any procedure of the cohort: Age, Sex, Indication' });
    expect(estimated(answer.unadjusted)).toMatchObject({ procedures: 600, events: 120, clusterLabel: null });
    expect(answer.notes).toContain('No hospital is recorded: the limits do not allow for procedures of one hospital being alike.');
    await extract.database.close();
  });

  it('every chapter answers or says why not', async () => {
    const { extract } = await loaded(audit);
    for (const name of chapterNames) {
      const chapter = await answerChapter(extract, usual, name);
      expect([name, chapter.status]).toEqual([name, 'ok']);
    }
    await extract.database.close();
  }, 120_000);

  it('a restriction to what is not recorded leaves everybody out, and the step says so', async () => {
    const { extract, report } = await loaded(audit);
    const asked = Question.parse({ cohort: { classes: ['anatomic_total'], minAge: 60, role: 'humeral_stem' }, adjust: ['age'], strata: ['hospital'], cluster: 'surgeon', compare: 'model' });
    const answer = await analyse(extract, asked);
    expect(answer).toMatchObject({ status: 'empty' });
    expect(answer.attrition.map(({ label, remaining }) => [label, remaining]).slice(0, 3)).toEqual([
      ['Procedures in the extract', 600], ['Joint: Shoulder', 600], ['With a humeral component', 0]]);
    const { question, missing } = comparisonWithoutUnrecorded(asked, report.recorded);
    expect(question).toMatchObject({ cohort: { classes: [], minAge: null, role: 'glenoid' }, adjust: [], strata: [], cluster: 'patient', compare: 'design' });
    expect(missing).toEqual(['class of procedure', 'age', 'hospital', 'humeral component']);
    expect(await analyse(extract, question)).toMatchObject({ status: 'ok' });
    await extract.database.close();
  });

  it('those of whom it is not recorded whether they meet a condition are left out in a step of their own', async () => {
    const { extract } = await loaded([
      file('procedures', 'procedure_id,procedure_date,joint,sex', ['1,2010-01-01,shoulder,female', '2,2010-01-01,shoulder,male', '3,2010-01-01,shoulder,', '4,2010-01-01,shoulder,']),
      file('revisions', 'procedure_id,revision_date,kind', []), registry]);
    const answer = await analyse(extract, Question.parse({ compare: 'period', cohort: { sexes: ['female'] } }));
    expect(answer.attrition.map(({ label, excluded, remaining }) => [label, excluded, remaining])).toEqual([
      ['Procedures in the extract', 0, 4], ['Joint: Shoulder', 0, 4], ['Sex recorded', 2, 2], ['Sex: Women', 1, 1], ['Observed at some time within 10 years', 0, 1],
      ['Period of the procedure recorded', 0, 1], ['In a compared group: 2010–2014', 0, 1]]);
    if (answer.status === 'ok') expect(answer.notes.join(' ')).toContain('No component is recorded: whether a procedure has a glenoid component is not known, and all procedures count.');
    await extract.database.close();
  });

  it('compares by something that is nowhere recorded: says so', async () => {
    const { extract } = await loaded(audit);
    expect(await analyse(extract, Question.parse({ compare: 'model' }))).toMatchObject({ status: 'empty', reason: 'Of no procedure of the cohort is it recorded: Model of the glenoid component.' });
    await extract.database.close();
  });

  it('a revision of which the kind is not recorded counts where both kinds do, and is another revision where one does', async () => {
    const { extract } = await loaded(audit);
    const answer = await analyse(extract, Question.parse({ outcome: { kinds: ['major'] } }));
    if (answer.status === 'empty') throw new Error(answer.reason);
    expect(answer.groups.map(({ events, competing }) => [events, competing.otherRevisions])).toEqual([[0, 60], [0, 60]]);
    expect(answer.notes).toContain('Revisions of which it is not recorded which kind of component was changed, counted as other revisions: 120.');
    await extract.database.close();
  });
});
