import { describe, expect, it } from 'vitest';
import { UnitsQuestion } from '../../../lib/contract/unitsQuestion';
import { BlockSchema } from '../../../lib/review/blockSchema';
import type { Block } from '../../../lib/reports/blocks';
import { ordinal } from '../../../lib/reports/units/observedExpected';
import { unitCautions } from '../../../lib/reports/units/unitCautions';
import { unitReport, type UnitReport } from '../../../lib/reports/units/unitReport';
import { unitsReport } from '../../../lib/reports/units/unitsReport';
import { check, counts, hospital, hospitals, level, own, view } from './handMade';

const all = hospitals();
const reportOf = (id = 'OWN', changes: Parameters<typeof hospital>[1] = {}) => unitReport(hospital(id, changes), all, view({ marked: { kind: 'hospital', id } }));
const wordsOf = (blocks: readonly Block[]): string =>
  blocks.flatMap((block) => (block.kind === 'words' ? block.sentences.map(({ text }) => text) : block.kind === 'caution' ? [block.text] : [])).join(' ');
const section = (made: UnitReport, id: string): readonly Block[] => made.sections.find((s) => s.id === id)?.blocks ?? [];
const judging = /\b(?:good|bad|poor|worse|worst|better|best|fail|failing|excellent|underperform|outlier|safe|unsafe)\w*/i;

describe('the results of a unit', () => {
  it('are read in order, the data before any claim', () => {
    expect(reportOf().sections.map(({ id }) => id)).toEqual(['data-first', 'in-words', 'case-mix', 'observed-expected', 'funnel', 'percent-revised', 'drivers', 'trend', 'benchmark']);
  });

  it('say what was observed and expected, with limits, and whether chance and usual differences explain it', () => {
    const words = wordsOf(section(reportOf(), 'in-words'));
    expect(words).toContain('Of 600 procedures 60 were revised for any reason; 30.0 would be expected from procedures alike in age and sex among the peers (all other hospitals).');
    expect(words).toContain('That is a ratio of 2.00 (95% CI 1.53–2.57).'); // exact Poisson limits of 60: 45.79 and 77.23 (Garwood 1936, Biometrika 28:437; recomputed)
    expect(words).toMatch(/Among all 12 hospitals, it lies above the 99\.8% limits of chance alone/);
    expect(words).toContain('It is a question and no verdict: chance, coding and case mix come before performance.');
  });

  it.each(['OWN', 'PEER01', 'FEW'])('neither praise nor blame: %s', (id) => {
    expect(wordsOf(reportOf(id).sections.filter((s) => s.id !== 'benchmark').flatMap(({ blocks }) => blocks))).not.toMatch(judging);
  });

  it('say of one within the limits that nothing found is no proof', () => {
    const words = wordsOf(section(reportOf('PEER01'), 'in-words'));
    expect(words).toContain('within what chance alone explains');
    expect(words).toContain('That nothing stands out does not show that all is well.');
  });

  it('send the reader to the data where they are unlike the peers’', () => {
    const made = reportOf('OWN', { quality: [check('BMI not recorded', true), check('ASA grade not recorded', false)] });
    expect(wordsOf(section(made, 'data-first'))).toContain('1 of 2 checks of the unit’s records is clearly unlike the peers’ (BMI not recorded). Settle that before the numbers below are read');
    expect(wordsOf(section(made, 'in-words'))).toContain('Settle that');
    expect(wordsOf(section(reportOf(), 'in-words'))).not.toContain('Settle that');
  });

  it('keep words on few revisions on the page', () => {
    const sentences = section(reportOf('FEW'), 'in-words').flatMap((block) => (block.kind === 'words' ? block.sentences : []));
    expect(sentences.filter(({ text }) => text.includes(' 3 were revised')).map(({ staysInside }) => staysInside)).toEqual([true]);
  });

  it('name the parts that stand out from the rest of the unit, not those that are as the whole', () => {
    const made = reportOf('OWN', {
      drivers: [
        { name: 'class', label: 'Class', note: null, levels: [level('Anatomic', 40, 20), level('Reverse', 20, 10)] },
        { name: 'design', label: 'Design class', note: null, levels: [level('Metal-backed', 25, 3), level('Pegged', 35, 27)] },
      ],
    });
    const words = wordsOf(section(made, 'drivers'));
    expect(words).toContain('30.0 revisions more than expected in all.');
    expect(words).toContain('By design class: “Metal-backed”, with 25 revisions where 3.0 were expected, a ratio of 8.33');
    expect(words).not.toContain('Anatomic');
    expect(wordsOf(section(made, 'in-words'))).toContain('What stands out most from the rest of the unit is, by design class: “Metal-backed”');
    const tables = section(made, 'drivers').flatMap((block) => (block.kind === 'table' ? [{ name: block.table.name, folded: block.folded }] : []));
    expect(tables).toEqual([{ name: 'by-design-class', folded: false }, { name: 'by-class', folded: true }]);
  });

  it('say that an excess is spread where no part stands out, and where most of it lies', () => {
    const words = wordsOf(section(reportOf(), 'drivers'));
    expect(words).toContain('No part stands out clearly from the rest of the unit: what is more than expected is spread over them.');
    expect(words).toContain('“Loosening”, with 48 revisions where 24.0 were expected');
  });

  it('name no surgeon in words, and print none', () => {
    const made = reportOf('OWN', { drivers: [{ name: 'surgeon', label: 'Surgeon', note: null, levels: [level('SURGEON7', 40, 10), level('SURGEON8', 20, 20)] }] });
    expect(made.sections.map(({ blocks }) => wordsOf(blocks)).join()).not.toContain('SURGEON');
    expect(made.surgeons?.rows.map(({ cells: [id] }) => id)).toEqual([{ text: 'SURGEON7', outside: 'a surgeon' }]);
  });

  it('mark the latest years as immature', () => {
    const [forest] = section(reportOf(), 'trend');
    expect(forest?.kind === 'forest' && forest.figure.parts.map(({ key, rows }) => [key, rows.map(({ label }) => label)])).toEqual([['mature', ['2015']], ['immature', ['2024']]]);
  });

  it('are evidence for a question where the rule asks, without names of peers even when they are shown', () => {
    const { evidence } = unitReport(hospital('OWN'), all, { ...own, names: true });
    expect(evidence?.subject).toEqual({ kind: 'hospital', id: 'OWN', label: 'hospital OWN' });
    expect(Object.keys(counts).filter((id) => JSON.stringify(evidence?.blocks).includes(id))).toEqual(['OWN']);
    const beyondJson = (_: string, value: unknown) => (typeof value === 'number' && !Number.isFinite(value) ? String(value) : value);
    evidence?.blocks.forEach((block) => { expect(BlockSchema.safeParse(JSON.parse(JSON.stringify(block, beyondJson))).error).toBeUndefined(); });
    expect(reportOf('PEER01').evidence).toBeNull();
  });

  it('carry the cautions of the trade', () => {
    expect(unitCautions.join(' ')).toMatch(/question and no verdict.*not comparable with each other.*first operation.*latest months.*Local governance/s);
  });
});

describe('a benchmark', () => {
  type Verdict = Extract<NonNullable<ReturnType<typeof hospital>['benchmark']>['verdict'], { readonly status: 'ok' }>['verdict'];
  const bar = { percent: 5, margin: 2, atYears: 10, joint: 'shoulder', source: 'Steering committee, minute 12', setIn: 2024 };
  const against = (verdict: Verdict, changes: Partial<typeof bar> = {}) => {
    const question = UnitsQuestion.parse({ benchmark: { ...bar, ...changes } }), percent = { value: 8, lower: 6, upper: 10 };
    const found = hospital('OWN', {
      benchmark: { verdict: { status: 'ok', verdict, percent: 8, lower: 6, upper: 10 }, estimate: percent, atRisk: 200, hospitals: 1, proceduresNeeded: 932, notes: [] },
    }, question);
    return unitReport(found, hospitals(question), { ...own, benchmarkSet: 'set on 1 March 2025 at 10:00 UTC, before results of any unit were shown' });
  };

  it('that nobody set gives no verdict; the one known was set for hips', () => {
    const words = wordsOf(section(reportOf(), 'benchmark'));
    expect(words).toContain('was set for hips (NICE technology appraisal 304, 2014) and does not carry over to another joint; no such figure is known for shoulders');
    expect(words).not.toMatch(/Superior|Inferior|Cannot say/);
  });

  it.each<[Verdict, string]>([
    ['superior', 'Superior: the whole interval lies below the benchmark of 5.0%'], ['notInferior', 'Not inferior within the margin: the whole interval lies below 7.0%'],
    ['inferiorWithinMargin', 'Inferior, yet within the margin'], ['inferior', 'Inferior: the whole interval lies above the benchmark of 5.0%'],
    ['inferiorBeyondMargin', 'Inferior by more than the margin: the whole interval lies above 7.0%'], ['cannotSayYet', 'Cannot say yet: the interval holds values on both sides of 5.0% and of 7.0%'],
  ])('has words for %s', (verdict, words) => {
    expect(wordsOf(section(against(verdict), 'benchmark'))).toContain(words);
  });

  it('says its source, when it was set, the number at risk and how many procedures it would take', () => {
    const made = against('cannotSayYet'), words = wordsOf(section(made, 'benchmark'));
    expect(words).toContain('5.0% at 10 years, margin 2.0 percentage points, for the shoulder, of 2024; source: Steering committee, minute 12');
    expect(words).toContain('before results of any unit were shown');
    expect(words).toContain('with 200 at risk');
    expect(words).toContain('takes 932 procedures');
    expect(made.provenance.find(({ label }) => label === 'Benchmark')?.text).toContain('set on 1 March 2025');
  });

  it('of another joint gives no verdict', () => {
    const words = wordsOf(section(against('superior', { joint: 'hip' }), 'benchmark'));
    expect(words).toContain('It was set for the hip and the question is about the shoulder, so there is no verdict.');
    expect(words).not.toContain('Superior');
  });
});

describe('all units of a kind', () => {
  it('are counted, with how many would be asked about by chance', () => {
    const words = wordsOf(unitsReport(all, view()).sections.find(({ id }) => id === 'in-words')?.blocks ?? []);
    expect(words).toContain('12 hospitals with 4,870 procedures, 269 of them revised.');
    expect(words).toContain('Enough is expected of 11 to be assessed, and one is asked about by the rule set here');
    expect(words).toContain('about 2.5% of those assessed (0.3) would lie above that limit all the same');
  });

  it.each([[1, '1st'], [2, '2nd'], [3, '3rd'], [11, '11th'], [12, '12th'], [13, '13th'], [21, '21st'], [55, '55th'], [112, '112th']])('%d is the %s', (n, words) => {
    expect(ordinal(n)).toBe(words);
  });
});
