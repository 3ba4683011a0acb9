import type { Question } from '../../../contract/question';
import type { AskedCohort } from '../../askedCohort';
import type { Step } from '../../step';
import { basisOf, limits } from '../basis';
import { alternatives } from './alternatives';
import { fitted, type Fitted } from './fitted';
import { frequencyOf, takenTogether } from './takenTogether';
import type { Sensitivity, SensitivityLine } from '../sensitivityResult';

/** Repeats the comparison under every reasonable alternative at hand. */
export async function sensitivity(asked: AskedCohort, question: Question, step: Step): Promise<Sensitivity> {
  await step('Setting up the alternatives', 0.1);
  const all = await alternatives(asked, question), lines: SensitivityLine[] = [];
  let first: Fitted | null = null;
  for (const [i, alternative] of all.entries()) {
    await step(`Comparing again: ${alternative.label}`, 0.3 + (0.7 * i) / all.length);
    const { key, family, label, why } = alternative, result = fitted(alternative, question);
    first ??= result;
    lines.push({ key, family, label, why, result: against(first, result) });
  }
  const frequency = frequencyOf(asked, question), others = asked.groups.filter(({ key }) => key !== asked.reference);
  return {
    status: 'ok',
    ...basisOf(asked, methods(question, asked), notes),
    reference: asked.reference,
    groups: others.map((group, place) => takenTogether(group, place, lines, frequency)),
    lines,
    frequency,
  };
}

/** A line with how it differs from the one as asked. */
function against(asked: Fitted, result: Fitted): SensitivityLine['result'] {
  if (result.status !== 'ok') return result;
  const from = asked.status === 'ok' ? asked : { procedures: NaN, events: NaN, ratios: [] };
  return {
    ...result,
    fewer: { procedures: from.procedures - result.procedures, events: from.events - result.events },
    shifts: result.ratios.map(({ estimate }, j) => {
      const other = from.ratios[j]?.estimate;
      return 'value' in estimate && other && 'value' in other ? estimate.value / other.value : NaN;
    }),
  };
}

const methods = ({ confidence }: Question, { clusters: cluster }: AskedCohort): readonly string[] => [
  `Hazard ratios: Cox 1972, ties as in Efron 1977; ${limits(confidence)}${cluster === 'none' ? ' of the model' : ` robust over each ${cluster} (Lin and Wei 1989)`}`,
  `Subdistribution hazard ratios: Fine and Gray 1999, weights by each group’s own length of follow-up; ${limits(confidence)} robust over each ${cluster === 'none' ? 'procedure' : cluster}`,
  'E-values: VanderWeele and Ding 2017',
];

const notes = [
  'The lines share most of their procedures: that they agree is no further evidence, that they differ is a reason to look.',
  'Each line leaves everything else as asked. Procedures that lack a covariate of a line are left out of it.',
];
