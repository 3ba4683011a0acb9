import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { analyse } from '@/lib/analysis/analyse';
import type { Sensitivity } from '@/lib/analysis/chapters/sensitivityResult';
import type { HazardRatio } from '@/lib/analysis/result';
import { Question } from '@/lib/contract/question';
import type { LoadedExtract } from '@/lib/engine/loadedExtract';
import type { FollowupRow } from '../../cohort/followup';
import { differences } from '../../cli/differences';
import { fixture } from '../../stats/rows';
import { loadSample } from '../sampleExtract';
import { chapterOf, chapterOfRows } from './ask';

const panelOf = (extract: LoadedExtract, asked: object): Promise<Sensitivity> => chapterOf(extract, 'sensitivity', asked);
const panelOfRows = (rows: readonly FollowupRow[], asked: object): Promise<Sensitivity> => chapterOfRows(rows, 'sensitivity', asked);

interface RecordedLine {
  readonly level: readonly string[]; readonly procedures: number; readonly events: number;
  readonly ratio: readonly (readonly number[])[]; readonly p: readonly number[];
  readonly ofGroup: { readonly procedures: readonly number[]; readonly events: readonly number[] };
  readonly fewer: { readonly procedures: number; readonly events: number }; readonly shift: readonly number[];
}
interface Recorded {
  readonly name: string;
  readonly input: { readonly version: string; readonly question: object };
  readonly expected: {
    readonly medianYear: number; readonly frequency: string; readonly lines: Readonly<Record<string, RecordedLine>>;
    readonly together: readonly {
      readonly group: string; readonly estimated: number; readonly range: readonly number[]; readonly sameSide: number; readonly clear: number;
      readonly eValue: readonly number[];
    }[];
  };
}

const estimated = (ratios: readonly HazardRatio[]) => ratios.filter(({ estimate }) => 'value' in estimate);

/** The lines with an estimate in the shape of the fixture; a group of which nobody is left has no entry there. */
function linesAsRecorded({ lines }: Sensitivity) {
  return Object.fromEntries(lines.flatMap(({ key, result }): [string, RecordedLine][] => {
    if (result.status !== 'ok') return [];
    const ratios = estimated(result.ratios);
    return [[key, {
      level: ratios.map((r) => r.level), procedures: result.procedures, events: result.events,
      ratio: ratios.map(({ estimate }) => ('value' in estimate ? [estimate.value, estimate.lower, estimate.upper] : [])), p: ratios.map((r) => r.p),
      ofGroup: { procedures: ratios.map((r) => r.procedures), events: ratios.map((r) => r.events) },
      fewer: result.fewer, shift: result.shifts.filter((shift) => !Number.isNaN(shift)),
    }]];
  }));
}

describe('the sensitivity panel on the sample registry', () => {
  let extract: LoadedExtract;
  beforeAll(async () => {
    extract = await loadSample();
  });
  afterAll(() => extract.database.close());

  // tests/reference/sampleSensitivity.R: R 4.2.2, survival 3.5-3, from the CSV files of the extract to the estimates.
  const { cases } = fixture('sampleSensitivity') as { readonly cases: readonly Recorded[] };
  it.each(cases)('has every number that R has from the same extract: $name', async ({ input, expected }) => {
    expect(extract.source.version).toBe(input.version);
    const panel = await panelOf(extract, input.question), lines = linesAsRecorded(panel);
    expect(Object.keys(lines)).toEqual(Object.keys(expected.lines));
    expect(differences(expected.lines, lines, 1e-8)).toEqual([]);
    expect(panel.frequency).toBe(expected.frequency);
    expect(panel.lines.find(({ key }) => key === 'later')!.label).toBe(`Procedures after ${expected.medianYear}`);
    const together = panel.groups.map(({ eValue, smallest, largest, ...group }) => (
      { ...group, range: [smallest, largest], eValue: eValue.status === 'ok' ? [eValue.estimate, eValue.limit] : [] }
    ));
    expect(differences(expected.together, together, 1e-8)).toEqual([]);
  });

  it('has on its first line what the main answer has, and names the lines that do not apply', async () => {
    const question = cases[0]!.input.question;
    const { lines } = await panelOf(extract, question), main = await analyse(extract, Question.parse(question));
    const [first] = lines;
    if (first?.result.status !== 'ok' || main.status !== 'ok' || main.adjusted.status !== 'ok') throw new Error('no estimate');
    expect(differences(main.adjusted.ratios.filter(({ term }) => term === 'group'), first.result.ratios, 1e-10)).toEqual([]);
    expect(lines.flatMap(({ key, result }) => (result.status === 'notApplicable' ? [[key, result.reason]] : []))).toEqual([
      ['adjusted-age-sex', 'This is what was asked.'], ['metalBacked', 'No component of the cohort is metal-backed.'],
    ]);
  });

  it('says that nobody is left to compare with, where the comparison is what an alternative leaves out', async () => {
    const { lines } = await panelOf(extract, {
      cohort: { classes: ['anatomic_total'], indications: ['osteoarthritis'], firstYear: 2015, lastYear: 2015 },
      groups: ['all_poly_pegged', 'metal_backed'], reference: 'metal_backed', outcome: { kinds: ['major'] },
    });
    const reasonOf = (wanted: string) => lines.flatMap(({ key, result }) => (key === wanted && result.status === 'notApplicable' ? [result.reason] : []));
    expect(reasonOf('metalBacked')).toEqual(['Nobody of the reference group, Metal-backed with polyethylene insert, is left.']);
    expect(reasonOf('indication-osteoarthritis')).toEqual(['It is the only indication.']);
    expect(reasonOf('earlier')).toEqual(['All procedures are of this half of the calendar.']);
    expect(reasonOf('major')).toEqual(['Only major revisions are asked for.']);
    expect(reasonOf('unadjusted')).toEqual(['The question adjusts for nothing.']);
  });
});

const revised: FollowupRow = { ending: 'revision', kind: 'major', reason: 'glenoid_loosening' };
const keeled: FollowupRow = { glenoid_design: 'all_poly_keeled', glenoid_model: 'G-20' };

async function procedures(rows: readonly FollowupRow[], key: string): Promise<number | string> {
  const { lines } = await panelOfRows(rows, {}), { result } = lines.find((line) => line.key === key)!;
  return result.status === 'ok' ? result.procedures : result.reason;
}

/** Both designs at each of two hospitals, some of them revised. */
const twoHospitals: readonly FollowupRow[] = Array.from({ length: 40 }, (_, i) => ({
  ...(i % 2 === 0 && keeled), hospital: i < 24 ? 'H1' : 'H2', procedure_day: 15000 + 10 * i, year: 2011, exit_day: 3000 - i, ...(i % 5 === 0 && { ...revised, exit_day: 500 + i }),
}));

describe('who an alternative leaves out', () => {
  it('the second joint of a patient, whichever row comes first', async () => {
    const bilateral = twoHospitals.map((row, i) => (i < 2 ? { ...row, patient: 900, procedure_day: 15000 - i } : row));
    expect(await procedures(bilateral, 'firstJoint')).toBe(39);
    expect(await procedures(twoHospitals, 'firstJoint')).toBe('No patient of the cohort had this joint replaced before on the other side.');
  });

  it('the second joint of a patient whose first one was of another class, which is not in the cohort', async () => {
    const rows: readonly FollowupRow[] = [...twoHospitals, { patient: 3, class: 'hemi', procedure_day: 14000, glenoid_model: null, glenoid_design: null }];
    expect(await procedures(rows, 'firstJoint')).toBe(39);
  });

  it('the first 365 days of a model at each hospital', async () => {
    // At H1 the keeled model is used from day 15000 on and the pegged one from day 15010 on; at H2 both for less than a year
    const late: readonly FollowupRow[] = [
      ...twoHospitals,
      { ...keeled, hospital: 'H1', procedure_day: 15364 }, { ...keeled, hospital: 'H1', procedure_day: 15365, ...revised },
      { hospital: 'H1', procedure_day: 15375, ...revised, exit_day: 4 },
    ];
    expect(await procedures(late, 'newModels')).toBe(2);
  });

  it('all procedures at the hospital that uses most of a group', async () => {
    expect(await procedures(twoHospitals, 'largestUser')).toBe(16);
    const third = [...twoHospitals, ...twoHospitals.slice(0, 10).map((row) => ({ ...row, hospital: 'H3' }))];
    expect(await procedures(third, 'largestUser')).toBe(26);
  });
});

describe('a comparison that has no answer', () => {
  it('with one group says so on every line', async () => {
    const { lines, groups } = await panelOfRows(twoHospitals, { groups: ['all_poly_keeled'] });
    expect(groups).toEqual([]);
    expect(lines.every(({ result }) => result.status !== 'ok')).toBe(true);
  });

  it('without revisions in a group says so, and has no E-value', async () => {
    const rows = twoHospitals.map((row) => (row['glenoid_design'] === undefined ? { ...row, ending: 'censored', kind: null, reason: null } : row));
    const { lines, groups: [group] } = await panelOfRows(rows, { reference: 'all_poly_keeled' });
    expect(lines[0]!.result).toMatchObject({ status: 'ok', ratios: [{ estimate: { status: 'notEstimable' } }] });
    expect(group).toMatchObject({ estimated: 0, smallest: NaN, largest: NaN, eValue: { status: 'notEstimable' } });
    expect(group!.eValue).toHaveProperty('reason', expect.stringContaining('no revisions'));
  });
});
