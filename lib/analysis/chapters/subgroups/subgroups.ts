import type { Question } from '../../../contract/question';
import { benjaminiHochberg } from '../../../stats/benjaminiHochberg';
import type { AskedCohort } from '../../askedCohort';
import type { Step } from '../../step';
import { basisOf, limits } from '../basis';
import type { SubgroupFactor, Subgroups } from '../subgroupsResult';
import { subgroupFactors } from './subgroupFactors';
import { subgroupsBy } from './subgroupsBy';

/** The ratios of the groups within age bands, sexes, indications and classes, and whether they differ there by more than chance. */
export async function subgroups(asked: AskedCohort, question: Question, step: Step): Promise<Subgroups> {
  await step('Dividing the cohort', 0.1);
  const { asked: cohort, by } = await subgroupFactors(asked, question), divided = [];
  for (const [f, factor] of by.entries()) {
    await step(`Comparing within levels of ${factor.coding.label}`, 0.2 + (0.8 * f) / by.length);
    divided.push({ factor: factor.covariate, label: factor.coding.label, ...subgroupsBy(cohort, factor, question) });
  }
  const tested = divided.map(({ test }) => (test.status === 'ok' ? test.p : NaN)), adjusted = benjaminiHochberg(tested);
  return {
    status: 'ok',
    ...basisOf(asked, methods(question, asked), notes),
    reference: asked.reference,
    tests: tested.filter((p) => !Number.isNaN(p)).length,
    factors: divided.map(({ test, ...factor }, f): SubgroupFactor => ({ ...factor, test: test.status === 'ok' ? { ...test, adjustedP: adjusted[f]! } : test })),
  };
}

const methods = ({ confidence }: Question, { clusters: cluster }: AskedCohort): readonly string[] => [
  `Hazard ratios within levels: one Cox model per factor with a term for each level and its interaction with the groups, ties as in Efron 1977; ${limits(confidence)}${cluster === 'none' ? ' of the model' : ` robust over each ${cluster} (Lin and Wei 1989)`}`,
  'Interaction: Wald test per factor (Assmann et al. 2000); p-values over all factors adjusted as in Benjamini and Hochberg 1995',
];

const notes = [
  'With enough subgroups some ratio stands out by chance alone. The test of a factor, adjusted for the others, says whether its levels differ; a single level’s limits do not.',
];
