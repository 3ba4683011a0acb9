import { readFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { sql } from '@/lib/engine/database';
import type { LoadedExtract } from '@/lib/engine/loadedExtract';
import { completenessIndex } from '@/lib/quality/followUp/lostFollowUp';
import { linkageCsv } from '@/lib/quality/linkage/linkageCsv';
import { linkageRows } from '@/lib/quality/linkage/linkageRows';
import { expectedByHospital } from '@/lib/quality/patterns/places';
import { quality } from '@/lib/quality/quality';
import type { QualityResult } from '@/lib/quality/qualityResult';
import { qualityReport } from '@/lib/reports/quality/qualityReport';
import { binomialLimits, binomialTails } from '@/lib/stats/distributions/binomial';
import { expectClose } from '../reference/closeTo';
import { casesOf } from '../reference/fixture';
import { loadSample } from '../analysis/sampleExtract';
import { csvOf, sampleTables } from './altered';

// Independent recomputation from the CSV files in R: tests/reference/quality.R.
interface Reference {
  readonly completeness: readonly { readonly field: string; readonly recorded: number; readonly byYear: number[]; readonly byHospital: number[] }[];
  readonly linkage: Readonly<Record<'read' | 'linked' | 'byId' | 'bySide' | 'first' | 'later' | 'noChange' | 'noPrimary' | 'beforePrimary', number>>;
  readonly 'follow-up': { readonly lost: number; readonly observed: number; readonly potential: number; readonly index: number; readonly lostByYear: number[]; readonly observedByYear: number[]; readonly potentialByYear: number[] };
  readonly 'expected by hospital': { readonly expected: number[]; readonly revised: number[] };
  readonly 'exact binomial': Readonly<Record<'higher' | 'lower' | 'from' | 'to', number[]>>;
}
const cases = casesOf('quality') as readonly { readonly name: string; readonly input: Readonly<Record<string, number[]>>; readonly expected: unknown }[];
const reference = Object.fromEntries(cases.map(({ name, expected }) => [name, expected])) as unknown as Reference;

let extract: LoadedExtract, result: QualityResult;
beforeAll(async () => {
  extract = await loadSample();
  result = await quality(extract);
}, 60_000);
afterAll(() => extract.database.close());

describe('the sample registry, against R', () => {
  it('records as much of each field, by year and by hospital', () => {
    for (const { field, recorded, byYear, byHospital } of reference.completeness) {
      const found = result.completeness.fields.find((f) => f.table === 'procedures' && f.field === field)!;
      expect(found.recorded, field).toBe(recorded);
      expect(found.recorded + found.setAside + found.empty, field).toBe(found.records);
      expect(found.byHospital.map(({ count }) => count), field).toEqual(byHospital);
      expect(found.byYear.map(({ count }) => count), field).toEqual(byYear);
    }
  });

  it('links as many re-operations each way, and to the same ends', () => {
    const { linkage } = result, of = reference.linkage;
    expect({ read: linkage.read, ...linkage.all }).toEqual({ read: of.read, linked: of.linked, byId: of.byId, bySide: of.bySide, first: of.first, later: of.later, noChange: of.noChange, afterFollowUp: 0 });
    expect(linkage.setAside.map(({ rule, count, againstPrimary }) => [rule, count, againstPrimary])).toEqual([['before_procedure', of.beforePrimary, of.beforePrimary], ['no_primary', of.noPrimary, 0]]);
    for (const parts of [linkage.byYear, linkage.byHospital]) expect(parts.reduce((sum, { linked }) => sum + linked, 0)).toBe(of.linked);
  });

  it('lost as much follow-up', () => {
    const { all, byYear } = result.followUp, of = reference['follow-up'];
    expect([all.lost, all.observed, all.potential]).toEqual([of.lost, of.observed, of.potential]);
    expectClose(completenessIndex(all), of.index, 1e-13);
    expect(byYear.map(({ lost }) => lost)).toEqual(of.lostByYear);
    expect(byYear.map(({ observed }) => observed)).toEqual(of.observedByYear);
    expect(byYear.map(({ potential }) => potential)).toEqual(of.potentialByYear);
  });

  it('expects as many revisions in every hospital', async () => {
    const rows = await extract.database.query(sql(expectedByHospital));
    expectClose(rows.numbers('expected'), reference['expected by hospital'].expected, 1e-10);
    expect([...rows.numbers('revised')]).toEqual(reference['expected by hospital'].revised);
  });

  it('exact tests and limits of shares', () => {
    const { input } = cases.find(({ name }) => name === 'exact binomial')!, of = reference['exact binomial'];
    input['count']!.forEach((count, i) => {
      const { higher, lower } = binomialTails(count, input['of']![i]!, input['share']![i]!), limits = binomialLimits(count, input['of']![i]!);
      expectClose([higher, lower], [of.higher[i]!, of.lower[i]!], 1e-9);
      expectClose([limits.lower, limits.upper], [of.from[i]!, of.to[i]!], 1e-9);
    });
  });
});

describe('row by row', () => {
  it('every re-operation of the file has its line, and what was planted is named by the rule that it breaks', async () => {
    const rows = await linkageRows(extract.database, 0, 10_000), { plantedRows } = truth();
    expect(rows.map(({ line }) => line)).toEqual(Array.from({ length: reference.linkage.read }, (_, i) => i + 2));
    const text = fileOf('revisions'), lines = text.split('\n');
    for (const { rule, key } of plantedRows) {
      const row = rows.find(({ line }) => lines[line - 1]!.startsWith(`${key},`))!;
      expect({ rule: row.rule, linkedBy: row.linkedBy, primary: row.primaryLine !== null }, key).toEqual({ rule, linkedBy: null, primary: rule === 'before_procedure' });
    }
  });

  it('the line of the primary is that of the procedure the re-operation names, and the CSV holds no identifier', async () => {
    const procedures = fileOf('procedures').split('\n'), revisions = fileOf('revisions').split('\n');
    for (const { line, linkedBy, primaryLine } of await linkageRows(extract.database, 0, 10_000)) {
      if (linkedBy !== 'id') continue;
      const named = revisions[line - 1]!.split(',')[1]!;
      expect(procedures[primaryLine! - 1]!.startsWith(`${named},`), `line ${line}`).toBe(true);
    }
    let csv = '';
    for await (const piece of linkageCsv(extract.database)) csv += piece;
    expect(csv.trimEnd().split('\r\n')).toHaveLength(reference.linkage.read + 1);
    expect(csv).not.toMatch(/[PRAHS]\d{3,}|\d{4}-\d\d-\d\d/);
  });
});

it('hospitals have no name outside the page, and none on it unless names are shown', () => {
  for (const names of [false, true]) {
    const written = JSON.stringify(qualityReport(result, { names }).sections, (key, value: unknown) => (key === 'text' && typeof value === 'string' && /^H\d{3}$/.test(value) ? `named ${value}` : value));
    expect(/named H\d{3}/.test(written)).toBe(names);
    expect(written).not.toMatch(/"outside":"H\d{3}"/);
  }
});

function truth() {
  const { plantedErrors } = JSON.parse(readFileSync(new URL('../../sample-registry/truth.json', import.meta.url), 'utf8')) as { readonly plantedErrors: { readonly rows: readonly { readonly rule: string; readonly table: string; readonly key: string }[] } };
  return { plantedRows: plantedErrors.rows.filter(({ table }) => table === 'revisions') };
}

const fileOf = (table: 'procedures' | 'revisions'): string => csvOf(sampleTables()[table]);
