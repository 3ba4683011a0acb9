import { writeFileSync } from 'node:fs';
import { ScreeningQuestion } from '../../lib/contract/screeningQuestion';
import { UnitsQuestion, type UnitKind } from '../../lib/contract/unitsQuestion';
import { componentColumn } from '../../lib/engine/followupTable';
import { quoteName, sql } from '../../lib/engine/database';
import type { LoadedExtract } from '../../lib/engine/loadedExtract';
import { screenComponents } from '../../lib/screening/components/screenComponents';
import { allUnits } from '../../lib/screening/units/allUnits';
import type { Truth } from '../../sample-registry/truth';
import { withSeededRegistry } from './seededRegistry';
import { wilson } from './wilson';

// How often screening finds what was planted, and asks about what was not, with the settings as they come: npm run bench:alarms -- [registries] [procedures]
const registries = Number(process.argv[2] ?? 100), size = Number(process.argv[3] ?? 40_000);

/** What screening said of one hospital, surgeon or model. */
interface Screened {
  readonly what: string;
  readonly planted: boolean;
  readonly touched: number; // share of its procedures of which something else was planted: the model, the hospital, the surgeon
  readonly assessed: boolean;
  readonly flagged: boolean;
}

const untouched = 0.05;

/** What was planted, as SQL conditions by the code of the hospital, surgeon or model. */
const plantedIn = ({ planted }: Truth): ReadonlyMap<string, string> => new Map([
  ...planted.hospitals.map(({ hospital }) => [hospital, `hospital::VARCHAR = '${hospital}'`] as const),
  [planted.surgeon.surgeon, `surgeon::VARCHAR = '${planted.surgeon.surgeon}'`] as const,
  ...planted.components.map(({ role, model }) => [model, `coalesce(${quoteName(`${role}_model`)}::VARCHAR = '${model}', false)`] as const),
]);

/** Per code in the column: the share of its procedures of which something else was planted. */
async function touchedShares({ database }: LoadedExtract, column: string, truth: Truth): Promise<ReadonlyMap<string, number>> {
  const key = `${quoteName(column)}::VARCHAR`, touched = [...plantedIn(truth)].map(([code, condition]) => `(${condition} AND ${key} <> '${code}')`);
  const result = await database.query(sql(`SELECT ${key} AS key, avg((${touched.join(' OR ')})::INTEGER)::DOUBLE AS share FROM followup WHERE ${key} IS NOT NULL GROUP BY ALL`));
  const shares = result.numbers('share');
  return new Map(result.texts('key').map((code, i) => [code ?? '', shares[i]!]));
}

async function screenedUnits(extract: LoadedExtract, truth: Truth, kind: UnitKind): Promise<Screened[]> {
  const found = await allUnits(extract, UnitsQuestion.parse({ kind }));
  if (found.status === 'empty') throw new Error(found.reason);
  const planted = plantedIn(truth), touched = await touchedShares(extract, kind, truth);
  return found.units.map(({ id, status }) => ({
    what: `${kind}s`, planted: planted.has(id), touched: touched.get(id) ?? 0, assessed: status !== 'notAssessed', flagged: status === 'flagged',
  }));
}

/** Both stages: flagged by rate, and upheld once adjusted. */
async function screenedModels(extract: LoadedExtract, truth: Truth): Promise<Screened[]> {
  const found = await screenComponents(extract, ScreeningQuestion.parse({}));
  if (found.status === 'empty') throw new Error(found.reason);
  const planted = plantedIn(truth), touched = new Map<string, number>();
  for (const role of new Set(found.models.map((m) => m.role))) {
    for (const [model, share] of await touchedShares(extract, componentColumn(role, 'model'), truth)) touched.set(model, share);
  }
  const upheld = new Set(found.adjusted.filter(({ comparison }) => comparison.standing === 'upheld').map(({ place }) => place));
  return found.models.flatMap(({ model, status }, place) => {
    const common = { planted: planted.has(model), touched: touched.get(model) ?? 0, assessed: status !== 'notAssessed' }, flagged = status === 'flagged';
    return [{ ...common, what: 'components, by rate', flagged }, { ...common, what: 'components, upheld once adjusted', flagged: flagged && upheld.has(place) }];
  });
}

const runs: Screened[][] = [];
for (let seed = 1; seed <= registries; ++seed) {
  runs.push(await withSeededRegistry({ procedures: size, seed }, async (extract, truth) => [
    ...await screenedUnits(extract, truth, 'hospital'), ...await screenedUnits(extract, truth, 'surgeon'), ...await screenedModels(extract, truth),
  ]));
  if (seed % 5 === 0) process.stderr.write(`${seed} of ${registries}\n`);
}

const percent = (x: number) => (100 * x).toFixed(1);
const shareOf = (units: readonly Screened[]): string => {
  if (units.length === 0) return '–';
  const count = units.filter(({ flagged }) => flagged).length, { lower, upper } = wilson(count, units.length);
  return `${count} of ${units.length}: ${percent(count / units.length)} (${percent(lower)}–${percent(upper)})`;
};
const all = runs.flat();
const runsWithFalse = (what: string) => runs.filter((run) => run.some((s) => s.what === what && s.flagged && !s.planted && s.touched < untouched)).length;
const rows = [...new Set(all.map(({ what }) => what))].map((what) => {
  const assessed = all.filter((s) => s.what === what && s.assessed), others = assessed.filter(({ planted }) => !planted);
  const [plain, touched] = [others.filter((s) => s.touched < untouched), others.filter((s) => s.touched >= untouched)];
  return `| ${what} | ${shareOf(assessed.filter(({ planted }) => planted))} | ${shareOf(plain)} | ${shareOf(touched)} | ${runsWithFalse(what)} of ${registries} |`;
});
const table = `# How often screening finds what was planted, and asks about what was not

${registries} registries of ${size} procedures, seeds 1 to ${registries} (\`npm run bench:alarms\`), every setting as it comes. Planted: two hospitals with 2.2 times the hazard, one
surgeon and two models with 2.5 times. Percentages of those assessed, with 95% limits by Wilson.

The others differ too, as hospitals and surgeons do: their hazards are log-normal with a standard deviation of 0.25 and 0.2 on the log scale, surgeons learn, and a model
is used more in some hospitals than in others. What is set for hospitals and surgeons is that at most ${percent((1 - UnitsQuestion.parse({}).alarmLevel) / 2)}% of units that differ as units usually do
are asked about; for components, that of all flagged by rate an expected ${percent(ScreeningQuestion.parse({}).criteria.falseDiscoveryRate)}% are no more than chance. Touched: ${percent(untouched)}% or more of the procedures have
something else planted (the model, the hospital, the surgeon), so that more revisions are there to be found, for another reason than the one screened for.

| | planted, asked about | not planted nor touched, asked about | touched, asked about | registries with one asked about that was neither |
| --- | --- | --- | --- | --- |
${rows.join('\n')}
`;
writeFileSync(new URL('falseAlarms.md', import.meta.url), table);
process.stdout.write(table);
