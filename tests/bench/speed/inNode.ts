import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { analyse } from '../../../lib/analysis/analyse';
import { daysOfYears } from '../../../lib/cohort/days';
import type { Question } from '../../../lib/contract/question';
import { loadExtract } from '../../../lib/engine/loadExtract';
import type { LoadedExtract } from '../../../lib/engine/loadedExtract';
import { openNodeDatabase } from '../../../lib/engine/node';
import { readExtractFiles } from '../../../lib/engine/nodeFiles';
import { percentCurve } from '../../../lib/stats/cumulativePercentRevision';
import { firstAbove } from '../../../lib/stats/distinctTimes';
import { numberAtRisk } from '../../../lib/stats/eventTable';
import { screenComponents } from '../../../lib/screening/components/screenComponents';
import { allUnits } from '../../../lib/screening/units/allUnits';
import { countingPass, groupedQuery, rowsOf, type Rows } from './floors';
import type { InNode } from './measured';
import { allHospitals, allModels, fiveCurves, manyPatterns } from './questions';
import { levelOrders } from './levelOrders';
import { curvesOf, fitOf, modelOf, reduced, reducedToGroups, testOf } from './steps';
import { reasonOf, timed, type Cell } from './timing';

// In a process of its own: loads a folder into native DuckDB with one thread, times the library part by part, and writes the rows for R.
const [folder = '', handOver = '', runsAsked = '3'] = process.argv.slice(2), runs = Number(runsAsked);
const started = performance.now();
const loaded = await loadExtract(async () => {
  const database = await openNodeDatabase();
  await database.query({ sql: 'SET threads = 1', params: [] });
  return database;
}, await readExtractFiles(folder));
if (loaded.status === 'refused') throw new Error(loaded.problems[0]?.message);
const { extract } = loaded, peak = (): number => process.resourceUsage().maxRSS * 1024;
const loadSeconds = (performance.now() - started) / 1000, loadPeak = peak();

const times: Record<string, Cell> = {}, counted: Record<string, number> = {};
const estimates: InNode['estimates'] = { curves: [], coefficients: [], proportionalHazards: [], many: [] };

/** Times the work; a part that fails is told and does not end the others. */
async function part<T>(name: string, work: (run: number) => T | Promise<T>): Promise<T | null> {
  try {
    const { times: took, result } = await timed(runs, work);
    times[name] = took;
    return result;
  } catch (error) {
    times[name] = { failed: reasonOf(error) };
    return null;
  } finally {
    process.stderr.write(`${name}: ${JSON.stringify(times[name])}\n`);
  }
}

await comparison();
await many();
const models = await part('screening', (run) => screenComponents(extract, allModels(run)));
if (models?.status === 'ok') counted['models'] = models.models.length;
const hospitals = await part('funnel', (run) => allUnits(extract, allHospitals(run)));
if (hospitals?.status === 'ok') counted['hospitals'] = hospitals.units.length;
await floorsAndRows();
await extract.database.close();
process.stdout.write(JSON.stringify({ loadSeconds, loadPeak, peak: peak(), counted, times, estimates } satisfies InNode));

async function comparison(): Promise<void> {
  const question = fiveCurves(0), asked = await part('reduction', (run) => reduced(extract, fiveCurves(run)));
  if (asked === null) return;
  counted['cells'] = asked.cohort.cells.exit.length;
  const ofGroups = await reducedToGroups(extract, question), survival = await part('curvesOnly', () => curvesOf(ofGroups, question));
  const model = await part('merging', () => modelOf(asked)), fit = model && await part('cox', () => fitOf(model));
  const test = fit && await part('proportionalHazards', () => testOf(fit, model));
  await part('curves', async (run) => curvesOf(await reducedToGroups(extract, fiveCurves(run)), question));
  await part('curvesAndCox', async (run) => {
    const curves = curvesOf(await reducedToGroups(extract, fiveCurves(run)), question);
    return [curves, fitOf(modelOf(await reduced(extract, fiveCurves(run))))];
  });
  await part('answer', (run) => analyse(extract, fiveCurves(run)));
  await part('clusteredAnswer', (run) => analyse(extract, fiveCurves(run, 'patient')));
  estimates.curves = (survival ?? []).flatMap(({ km }) => {
    const { percent, lower, upper } = percentCurve(km);
    return question.atYears.map(daysOfYears).flatMap((day) => {
      const at = firstAbove(km.table.time, day) - 1;
      return [percent[at]!, lower[at]!, upper[at]!, numberAtRisk(km.table, day)];
    });
  });
  estimates.coefficients = [...fit?.coefficient ?? []];
  estimates.proportionalHazards = test === null ? [] : [...test.terms.map((term) => term.test), test.global].map((of) => (of.status === 'ok' ? of.chisq : null));
}

async function many(): Promise<void> {
  const asked = await part('manyReduction', (run) => reduced(extract, manyPatterns(run)));
  if (asked === null) return;
  const model = await part('manyMerging', () => modelOf(asked)), fit = model && await part('manyCox', () => fitOf(model));
  if (fit === null) return;
  Object.assign(counted, { manyPatterns: new Set(model?.cohort.pattern).size, manyColumns: fit.names.length, manyCells: model?.cohort.cells.exit.length });
  estimates.many = [...fit.coefficient];
}

async function floorsAndRows(): Promise<void> {
  await part('groupedQuery', (run) => extract.database.query(groupedQuery(fiveCurves(run))));
  const rows = await rowsOf(extract.database, manyPatterns(0));
  counted['procedures'] = rows['exit']!.length;
  const count = countingPass(rows, fiveCurves(0).horizonYears);
  await part('countingPass', count);
  await writeRows(rows, extract, manyPatterns(0));
}

async function writeRows(rows: Rows, of: LoadedExtract, question: Question): Promise<void> {
  mkdirSync(handOver, { recursive: true });
  for (const [name, column] of Object.entries(rows)) writeFileSync(join(handOver, `${name}.bin`), new Uint8Array(column.buffer));
  const asked = await reduced(of, question);
  writeFileSync(join(handOver, 'levels.txt'), levelOrders(asked, modelOf(asked)).map((codes) => `${codes.join(' ')}\n`).join(''));
}
