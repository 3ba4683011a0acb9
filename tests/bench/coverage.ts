import { writeFileSync } from 'node:fs';
import { analyse } from '../../lib/analysis/analyse';
import type { CoxResult, Estimate, HazardRatio } from '../../lib/analysis/result';
import { Question } from '../../lib/contract/question';
import type { Truth } from '../../sample-registry/truth';
import { withSeededRegistry } from './seededRegistry';
import { wilson } from './wilson';

// Whether 95% limits hold what was planted in 95% of seeded registries: npm run bench:coverage -- [registries] [procedures]
const registries = Number(process.argv[2] ?? 200), size = Number(process.argv[3] ?? 20_000), largeSize = Number(process.argv[4] ?? 1_000_000);

/** An estimate beside what was planted, both as log hazard ratios. */
interface Found { readonly target: string; readonly planted: number; readonly estimate: Estimate }

const found = (target: string, planted: number, ratio: HazardRatio | undefined): Found[] =>
  ratio !== undefined && 'value' in ratio.estimate ? [{ target, planted, estimate: ratio.estimate }] : [];

const ratioOf = ({ ratios }: CoxResult, term: string, level: string) => ratios.find((r) => r.term === term && (level === '' || r.level === level));

const registry = (seed: number, procedures: number): Promise<Found[]> => withSeededRegistry({ procedures, seed }, async (extract, truth) => {
  const answer = async (asked: object) => {
    const analysis = await analyse(extract, Question.parse(asked));
    if (analysis.status === 'empty') throw new Error(`seed ${seed}: ${analysis.reason}`);
    return analysis;
  };
  return [...await designs(truth, answer), ...await outlier(truth, answer)];
});

type Answer = (asked: object) => Promise<Extract<Awaited<ReturnType<typeof analyse>>, { status: 'ok' }>>;
const adjusted = { adjust: ['age_linear', 'sex', 'indication'], strata: ['hospital'], cluster: 'surgeon' };

async function designs(truth: Truth, answer: Answer): Promise<Found[]> {
  const { periods, adjusted: cox } = await answer({
    cohort: { classes: ['anatomic_total'] }, groups: ['all_poly_pegged', 'all_poly_keeled', 'metal_backed'], reference: 'all_poly_pegged',
    ...adjusted, cutYears: [2, 5, 7],
  });
  if ('status' in periods || cox.status !== 'ok') return [];
  const planted = truth.designs.find((d) => d.role === 'glenoid')!.allRevisions;
  const { agePerTenYears, male } = truth.covariateLogHazardRatios;
  return [
    ...periods.slice(1).flatMap(({ fromDay, ratios }) => (['all_poly_keeled', 'metal_backed'] as const).flatMap((design) =>
      found(`${design} v pegged, from ${Math.round(fromDay / 365.25)} years`, planted[design]![truth.periodStartDays.indexOf(fromDay)]!, ratios.find((r) => r.level === design)))),
    ...found('age, per 10 years', agePerTenYears, ratioOf(cox, 'age_linear', '')),
    ...found('men v women', male, ratioOf(cox, 'sex', 'male')),
  ];
}

async function outlier(truth: Truth, answer: Answer): Promise<Found[]> {
  const { model, hazardRatio } = truth.planted.components[0]!;
  const { adjusted: cox } = await answer({
    cohort: { classes: ['anatomic_total'], designs: ['all_poly_fluted_peg'] }, compare: 'model', reference: 'G-FLU-01', ...adjusted,
  });
  return cox.status === 'ok' ? found(`planted component ${model}`, Math.log(hazardRatio), ratioOf(cox, 'group', model)) : [];
}

const percent = (x: number) => (100 * x).toFixed(1);
const heldOf = (estimates: readonly Estimate[], target: number): string => {
  const held = estimates.filter(({ lower, upper }) => Math.log(lower) <= target && target <= Math.log(upper)).length;
  const { lower, upper } = wilson(held, estimates.length);
  return `${percent(held / estimates.length)} (${percent(lower)}–${percent(upper)})`;
};

const large = await registry(registries + 1, largeSize);
process.stderr.write('large registry done\n');
const all: Found[] = [];
for (let seed = 1; seed <= registries; ++seed) {
  all.push(...await registry(seed, size));
  if (seed % 10 === 0) process.stderr.write(`${seed} of ${registries}\n`);
}

const rows = large.map(({ target, planted, estimate: { value: limit } }) => {
  const estimates = all.filter((f) => f.target === target).map((f) => f.estimate);
  const mean = estimates.reduce((sum, { value }) => sum + Math.log(value), 0) / estimates.length;
  return `| ${target} | ${estimates.length} | ${Math.exp(planted).toFixed(2)} | ${limit.toFixed(2)} | ${Math.exp(mean).toFixed(2)} | ${heldOf(estimates, Math.log(limit))} | ${heldOf(estimates, planted)} |`;
});
const table = `# Do 95% limits hold what was planted?

${registries} registries of ${size} procedures, seeds 1 to ${registries}, and one of ${largeSize} (\`npm run bench:coverage\`). Cox, adjusted for age, sex and
indication, stratified by hospital, limits robust by surgeon, ratios by period for the designs. Percentages with 95% limits by Wilson.

What was planted are ratios of one patient's hazard. Patients and surgeons differ beyond the covariates, the frail are revised first, and learning cases weigh
on new designs, so that a population's ratio is a little nearer 1: the large registry shows what the model tends to.

| ratio | estimates | planted | large registry | mean estimate | holds the large registry's, % | holds the planted, % |
| --- | --- | --- | --- | --- | --- | --- |
${rows.join('\n')}
`;
writeFileSync(new URL('coverage.md', import.meta.url), table);
process.stdout.write(table);
