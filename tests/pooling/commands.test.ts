import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { InputError } from '@/lib/cli/inputError';
import { poolForm } from '@/lib/cli/poolForm';
import { reduceForm } from '@/lib/cli/reduceForm';
import { canonicalJson, hashOf } from '@/lib/contract/canonical';
import { RegistryCounts } from '@/lib/contract/registryCounts';
import { smallRegistry } from './smallRegistry';

interface Ran { readonly status: 0 | 2; readonly stdout: string; readonly last: string }
/** As the command would end, without a process of its own. */
async function run(command: 'reduce' | 'pool', ...args: readonly string[]): Promise<Ran> {
  try {
    return { status: 0, stdout: await (command === 'reduce' ? reduceForm : poolForm)(args, () => undefined), last: '' };
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    return { status: 2, stdout: '', last: error.message };
  }
}
const question = { compare: 'sex', reference: 'female', groups: ['female', 'male'], adjust: ['age'], cohort: { role: 'glenoid' } };

let folder = '', asked = '';
const at = (name: string): string => join(folder, name);
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'pool-'));
  asked = at('question.json');
  writeFileSync(asked, JSON.stringify(question));
  for (const [seed, name] of ['north', 'south', 'west'].entries()) {
    mkdirSync(at(name));
    for (const file of smallRegistry(name, seed + 1)) writeFileSync(join(at(name), file.name), await file.content.text());
  }
});
afterAll(() => { rmSync(folder, { recursive: true }); });

describe('npm run reduce', () => {
  it('coarsens days unless it is told otherwise, and says what the file holds', async () => {
    const { status, stdout, last } = await run('reduce', '--extract', at('north'), '--question', asked, '--out', at('north.json'));
    expect(status, last).toBe(0);
    const told = JSON.parse(stdout) as { readonly holds: readonly string[]; readonly procedures: number }, text = readFileSync(at('north.json'), 'utf8'), file = RegistryCounts.parse(JSON.parse(text));
    expect(file.protection).toMatchObject({ days: 'coarse', stepDays: 30, smallest: 5 });
    expect(Math.min(...file.cells.count)).toBeGreaterThanOrEqual(5);
    expect(told.holds).toEqual(file.holds);
    expect(text).toBe(canonicalJson(file));
    expect(text).not.toMatch(/P\d{4}|A\d{4}|Hospital-|Surgeon-/); // as the small extract writes its identifiers
  });

  it('tells exact days only to somebody who says that they may be told, and never writes over a file', async () => {
    const args = ['--extract', at('south'), '--question', asked, '--out', at('south.json'), '--days', 'exact'];
    expect(await run('reduce', ...args)).toMatchObject({ status: 2, last: '--days exact needs --governance-allows-exact-days: the file would hold the days of single persons' });
    expect((await run('reduce', ...args, '--governance-allows-exact-days')).status).toBe(0);
    const { cells, protection, holds } = RegistryCounts.parse(JSON.parse(readFileSync(at('south.json'), 'utf8')));
    expect(protection).toEqual({ days: 'exact', governanceAllows: true });
    expect(holds.join(' ')).toContain(`${cells.count.filter((n) => n === 1).length} of ${cells.count.length} counts are 1`);
    expect(await run('reduce', ...args, '--governance-allows-exact-days')).toMatchObject({ status: 2, last: `--out must be a file that is not there yet: '${at('south.json')}'` });
  });

  it('refuses to tell hospitals apart, and estimates against a reference that differs by registry', async () => {
    writeFileSync(at('hospitals.json'), JSON.stringify({ ...question, strata: ['hospital'] }));
    writeFileSync(at('noReference.json'), JSON.stringify({ ...question, reference: null }));
    expect((await run('reduce', '--extract', at('north'), '--question', at('hospitals.json'), '--out', at('x.json'))).last).toContain("use region or none: 'hospital'");
    expect((await run('reduce', '--extract', at('north'), '--question', at('noReference.json'), '--out', at('x.json'), '--estimates-only')).last).toContain('noReference.json: reference: must be named');
  });
});

describe('npm run pool', () => {
  it('pools counts of either kind, with cautions', async () => {
    expect((await run('reduce', '--extract', at('west'), '--question', asked, '--out', at('west.json'), '--registry', 'The west')).status).toBe(0);
    const { status, stdout, last } = await run('pool', at('north.json'), at('south.json'), at('west.json'));
    expect(status, last).toBe(0);
    const { groups, byRegistry, cautions, bounds } = JSON.parse(stdout) as { readonly groups: readonly object[]; readonly byRegistry: readonly { readonly registry: string }[]; readonly cautions: readonly string[]; readonly bounds: readonly object[] };
    expect(groups).toHaveLength(2);
    expect(byRegistry.map(({ registry }) => registry)).toEqual(['Registry north', 'Registry south', 'The west']);
    expect(cautions.join(' ')).toMatch(/Days are coarse in 2 of 3 files.*procedures of one patient|procedures of one patient.*Days are coarse in 2 of 3 files/);
    expect(bounds).toHaveLength(10);
  });

  it('refuses another question, a registry twice, a changed file and one of another kind', async () => {
    writeFileSync(at('other.json'), JSON.stringify({ ...question, horizonYears: 9, cohort: { role: 'glenoid', maxAge: 80 } }));
    await run('reduce', '--extract', at('west'), '--question', at('other.json'), '--out', at('another.json'));
    expect(await run('pool', at('north.json'), at('another.json'))).toMatchObject({ status: 2, stdout: '', last: 'another.json: question: must be that of north.json, in every field; differs in horizonYears, cohort.maxAge' });
    const north = JSON.parse(readFileSync(at('north.json'), 'utf8')) as RegistryCounts;
    expect((await run('pool', at('north.json'), at('north.json'))).last).toBe('north.json: source: each registry counts once, but north.json is of the same extract: “Registry north”');
    writeFileSync(at('changed.json'), canonicalJson({ ...north, cells: { ...north.cells, count: north.cells.count.map((n, i) => (i === 0 ? n + 1 : n)) } }));
    expect((await run('pool', at('changed.json'))).last).toBe(`changed.json: hash: the file was changed after it was written: ${north.hash}`);
    const { hash, ...content } = north, named = { ...content, source: { ...content.source, fingerprint: hash } };
    writeFileSync(at('renamed.json'), canonicalJson({ ...named, hash: await hashOf(named) }));
    expect((await run('pool', at('north.json'), at('renamed.json'))).last).toBe('renamed.json: source: each registry counts once, but north.json is of the same registry: “Registry north”');
    expect((await run('pool', '--estimates', at('north.json'))).last).toContain('north.json: format: must be a file of estimates');
    writeFileSync(at('short.json'), JSON.stringify({ ...north, cells: { ...north.cells, count: [] } }));
    expect((await run('pool', at('short.json'))).last).toMatch(/^short\.json: cells\.count: must have an entry for each of the \d+ cells; has 0$/);
  });

  it('makes a meta-analysis of what each registry estimates by itself', async () => {
    for (const name of ['north', 'south', 'west']) expect((await run('reduce', '--extract', at(name), '--question', asked, '--out', at(`${name}-estimates.json`), '--estimates-only')).status).toBe(0);
    const { status, stdout, last } = await run('pool', '--estimates', ...['north', 'south', 'west'].map((name) => at(`${name}-estimates.json`)));
    expect(status, last).toBe(0);
    const { ratios: [ratio] } = JSON.parse(stdout) as { readonly ratios: readonly { readonly group: string; readonly registries: readonly object[]; readonly result: { readonly studies: number }; readonly hazardRatio: { readonly value: number } }[] };
    expect(ratio).toMatchObject({ group: 'male', result: { studies: 3, randomEffects: { status: 'ok' }, prediction: { status: 'ok' } } });
    expect(ratio!.registries).toHaveLength(3);
  });
});
