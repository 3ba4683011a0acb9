import { writeFileSync } from 'node:fs';
import { UnitsQuestion, type UnitKind } from '../../lib/contract/unitsQuestion';
import type { LoadedExtract } from '../../lib/engine/loadedExtract';
import { allUnits } from '../../lib/screening/units/allUnits';
import { unitNames } from '../../lib/screening/units/unitNames';
import type { Truth } from '../../sample-registry/truth';
import { withRegistry } from './seededRegistry';
import { wilson } from './wilson';

// How often the planted hospitals and surgeon are asked about, and how often others: npm run bench:alarms -- [registries] [procedures]
const registries = Number(process.argv[2] ?? 100), size = Number(process.argv[3] ?? 40_000);

/** Units of one registry that are alike in truth. */
interface Counted { readonly of: string; readonly units: number; readonly assessed: number; readonly flagged: number }

async function registry(extract: LoadedExtract, { planted }: Truth): Promise<Counted[]> {
  const hospitals = new Set(planted.hospitals.map(({ hospital }) => hospital)), { surgeons } = await unitNames(extract);
  const placesOf = new Map(surgeons.map((surgeon) => [surgeon.id, surgeon.hospitals]));
  const kinds: Record<UnitKind, (id: string) => string> = {
    hospital: (id) => (hospitals.has(id) ? 'planted hospitals' : 'other hospitals'),
    surgeon: (id) => (id === planted.surgeon.surgeon ? 'planted surgeon' : placesOf.get(id)?.some((h) => hospitals.has(h)) === true ? 'surgeons at planted hospitals' : 'other surgeons'),
  };
  const found: Counted[] = [];
  for (const kind of ['hospital', 'surgeon'] as const) {
    const analysis = await allUnits(extract, UnitsQuestion.parse({ kind }));
    if (analysis.status === 'empty') throw new Error(analysis.reason);
    for (const { id, status } of analysis.units) found.push({ of: kinds[kind](id), units: 1, assessed: status === 'notAssessed' ? 0 : 1, flagged: status === 'flagged' ? 1 : 0 });
  }
  return found;
}

const all: Counted[] = [];
for (let seed = 1; seed <= registries; ++seed) {
  all.push(...await withRegistry(seed, size, registry));
  if (seed % 10 === 0) process.stderr.write(`${seed} of ${registries}\n`);
}

const percent = (x: number): string => (100 * x).toFixed(1);
const rows = ['planted hospitals', 'other hospitals', 'planted surgeon', 'surgeons at planted hospitals', 'other surgeons'].map((of) => {
  const own = all.filter((counted) => counted.of === of), sum = (what: 'units' | 'assessed' | 'flagged') => own.reduce((total, counted) => total + counted[what], 0);
  const { lower, upper } = wilson(sum('flagged'), sum('assessed'));
  return `| ${of} | ${sum('units')} | ${sum('assessed')} | ${sum('flagged')} | ${percent(sum('flagged') / sum('assessed'))} (${percent(lower)}–${percent(upper)}) |`;
});
const { alarmLevel, minimumRatio, minimumExpected } = UnitsQuestion.parse({});
const table = `# Who is asked about?

${registries} registries of ${size} procedures, seeds 1 to ${registries} (\`npm run bench:alarms\`), usual settings: at least ${minimumExpected} revisions expected, a ratio of
at least ${minimumRatio}, above the upper funnel limit at ${percent(alarmLevel)} % widened by how much units differ, so that ${percent((1 - alarmLevel) / 2)} % of the units that differ no more than others
do may lie above it. Percentages of those assessed, with 95% limits by Wilson.

Two hospitals and a surgeon were planted with 2.2 and 2.5 times the hazard. All hospitals and surgeons differ besides, with standard deviations of 0.25 and 0.2
of the log hazard; surgeons at the planted hospitals share their hospital's hazard.

| units | in all | assessed | asked about | of those assessed, % |
| --- | --- | --- | --- | --- |
${rows.join('\n')}
`;
writeFileSync(new URL('falseAlarms.md', import.meta.url), table);
process.stdout.write(table);
