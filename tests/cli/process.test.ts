import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { chapterNames } from '@/lib/analysis/chapters';
import type { Analysis } from '@/lib/analysis/result';
import type { UnitAnalysis, UnitsAnalysis } from '@/lib/screening/units/unitsResult';
import type { VisitsAnalysis } from '@/lib/visits/visitsResult';
import { visitsCases } from '../reference/visitsCase';

const top = fileURLToPath(new URL('../..', import.meta.url));
const analyse = (...args: readonly string[]) => {
  const { status, stdout, stderr } = spawnSync(process.execPath, ['--import', 'tsx', 'lib/cli/analyse.ts', ...args], { cwd: top, encoding: 'utf8', maxBuffer: 2 ** 28 });
  return { status, stdout, stderr };
};

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'command-'));
});
afterAll(() => { rmSync(folder, { recursive: true }); });

describe('npm run analyse', () => {
  it('answers the question beside the sample registry in JSON, with progress on standard error', () => {
    const { status, stdout, stderr } = analyse('--extract', 'sample-registry/extract', '--question', 'sample-registry/question.json');
    expect(status, stderr).toBe(0);
    const answer = JSON.parse(stdout) as Analysis & { readonly chapters: Readonly<Record<string, { readonly status: string }>> };
    expect(answer.status).toBe('ok');
    expect(answer.groups.map((group) => group.key)).toEqual(['all_poly_pegged', 'all_poly_keeled']);
    expect(answer.curves.map((curve) => Array.isArray(curve.days) && curve.days.length > 0)).toEqual([true, true]);
    expect(Object.entries(answer.chapters).map(([name, { status }]) => [name, status])).toEqual(chapterNames.map((name) => [name, 'ok']));
    const lines = stderr.trimEnd().split('\n');
    expect(lines).toContain('Comparing the groups');
    expect(lines.filter((line, i) => line === lines[i - 1])).toEqual([]);
  });

  it('writes the tables that may leave, with small counts withheld, instead of numbers that may not', () => {
    const question = join(folder, 'young.json'), out = join(folder, 'tables');
    writeFileSync(question, JSON.stringify({ ...(JSON.parse(readFileSync(join(top, 'sample-registry/question.json'), 'utf8')) as object), cohort: { classes: ['anatomic_total'], maxAge: 56 }, atYears: [0.25, 5] }));
    const { status, stdout, stderr } = analyse('--extract', 'sample-registry/extract', '--question', question, '--chapters', 'difference', '--protected', out, '--smallest', '10');
    expect(status, stderr).toBe(0);
    const files = stdout.trimEnd().split('\n');
    expect(files).toContain(join(out, 'cumulative-percent-revision.csv'));
    expect(files.length).toBeGreaterThan(10);
    for (const file of files) expect(readFileSync(file, 'utf8'), file).toContain('Counts from 1 to 9, and what could be computed back to them, are withheld.');
    expect(readFileSync(join(out, 'cumulative-percent-revision.csv'), 'utf8')).toMatch(/^3 months,[^,]*,\d+,(?:<10|withheld),withheld,withheld,withheld/m);
  });

  it('holds a hospital against its peers, and says which hospitals to ask about', () => {
    const path = join(folder, 'units.json');
    writeFileSync(path, '{ "atYears": [5] }');
    const all = analyse('--extract', 'sample-registry/extract', '--units', path), one = analyse('--extract', 'sample-registry/extract', '--units', path, '--hospital', 'H044');
    expect([all.status, one.status], all.stderr + one.stderr).toEqual([0, 0]);
    const { units } = JSON.parse(all.stdout) as UnitsAnalysis, { line, peers } = JSON.parse(one.stdout) as UnitAnalysis;
    expect(units.filter((unit) => unit.status === 'flagged').map(({ id }) => id)).toContain('H044');
    expect(units).toHaveLength(60);
    expect({ id: line.id, status: line.status, peers: peers.hospitals }).toEqual({ id: 'H044', status: 'flagged', peers: 59 });
  });

  it('tells the signs seen at visits as R counts them', () => {
    const { input, expected } = visitsCases[1]!, path = join(folder, 'visits.json'), { window, counts } = expected.adaptation[2]!;
    writeFileSync(path, JSON.stringify({ ...input.question, measures: ['stem_adaptation'], windows: [window] }));
    const { status, stdout, stderr } = analyse('--extract', 'sample-registry/extract', '--visits', path);
    expect(status, stderr).toBe(0);
    expect((JSON.parse(stdout) as VisitsAnalysis).signs.map(({ groups }) => groups.map(({ present, assessed }) => [present, assessed]))).toEqual([counts]);
  });

  it('does not repeat an identifier that it does not know', () => {
    const path = join(folder, 'units.json');
    writeFileSync(path, '{}');
    const { status, stdout, stderr } = analyse('--extract', 'sample-registry/extract', '--units', path, '--surgeon', 'Dr Unknown');
    expect({ status, stdout, last: stderr.trimEnd().split('\n').at(-1) }).toEqual({ status: 2, stdout: '', last: 'no such surgeon in the extract' });
  });

  it('analyses a table', () => {
    const path = join(folder, 'study.csv');
    writeFileSync(path, 'time,event\n1,1\n2,0\n');
    const { status, stdout, stderr } = analyse('--table', path, '--time', 'time', '--event', 'event');
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
    expect(JSON.parse(stdout)).toMatchObject({ n: 2, events: 1, km: [{ group: 'all' }] });
  });

  it('lists all forms and their options', () => {
    const { status, stdout } = analyse('--help');
    expect(status).toBe(0);
    for (const option of ['--extract', '--question', '--table', '--chapters', '--units', '--strata', '--min-at-risk']) expect(stdout).toContain(option);
  });

  it.each([
    { args: ['--tabel', 'x.csv'], message: "Unknown option '--tabel'; --help lists the options" },
    { args: ['--table', 'none.csv', '--time', 't', '--event', 'e'], message: 'none.csv: no such file' },
    { args: ['--extract', 'nowhere', '--question', 'sample-registry/question.json'], message: 'nowhere: no such folder or file' },
    { args: ['--extract', 'sample-registry/extract', '--question', 'none.json'], message: 'none.json: no such file' },
    { args: ['--extract', 'sample-registry/question.json', '--question', 'sample-registry/question.json'], message: null },
  ])('ends with status 2 and one line for $args', ({ args, message }) => {
    const { status, stdout, stderr } = analyse(...args);
    const last = stderr.trimEnd().split('\n').at(-1);
    expect({ status, stdout }).toEqual({ status: 2, stdout: '' });
    if (message === null) expect(last).not.toBe('');
    else expect(stderr).toBe(`${message}\n`);
  });
});
