import type { Question } from '../../../contract/question';
import type { NotEstimable } from '../../../stats/cells';
import { subgroupHazardRatios } from '../../../stats/cox/subgroupHazardRatios';
import type { AskedCohort } from '../../askedCohort';
import { askedModel, merged } from '../../askedModel';
import { cellsWhere } from '../../cellsWhere';
import { clusterNotes, sayingOwnLimits } from '../../clusterNotes';
import { coarserPatterns } from '../../coarserPatterns';
import type { Adjustment } from '../../completeCases';
import { hazardRatioOf } from '../../hazardRatio';
import { levelCounts, patternCounts } from '../../levelCounts';
import type { InteractionTest, SubgroupFactor, SubgroupLevel } from '../subgroupsResult';

type Untested = Omit<InteractionTest, 'adjustedP'>;

/** As `SubgroupFactor`, before the p-value is adjusted for the others. */
export interface Divided extends Pick<SubgroupFactor, 'adjustedFor' | 'leftOut' | 'notes' | 'procedures' | 'events'> {
  readonly test: Untested | NotEstimable;
  readonly levels: readonly SubgroupLevel[] | NotEstimable;
}

/** The ratios of the groups within each level of a factor, from one model with the adjustment of the question and the factor itself. */
export function subgroupsBy(cohort: AskedCohort, by: Adjustment, question: Question): Divided {
  const others = cohort.adjustments.filter(({ covariate }) => covariate !== by.covariate);
  const asked = coarserPatterns({ ...cohort, adjustments: [...others, by] }), own = asked.adjustments.at(-1)!;
  const fitted = askedModel(asked);
  if (fitted.status !== 'ok') return { adjustedFor: [], leftOut: [], notes: [], procedures: 0, events: 0, test: fitted, levels: fitted };
  const { cohort: cells, design, terms } = merged(fitted.model), group = terms[0]!, counts = levelCounts(cells, own.codes);
  const found = [...counts.keys()].filter((code) => code >= 0).sort((a, b) => a - b), levels = found.map((code) => own.coding.level(code));
  const isStratum = asked.strata.some(({ label }) => label === own.coding.label); // then it needs no term
  const events = [...counts.values()].reduce((sum, count) => sum + count.events, 0);
  const described = { adjustedFor: fitted.adjustedFor.filter((label) => label !== own.coding.label || !isStratum), leftOut: fitted.leftOut, procedures: fitted.procedures, events, notes: fitted.model.notes };
  const result = subgroupHazardRatios(
    cells.cells, design, [...group.columns.keys()],
    own.codes.map((code) => Math.max(0, found.indexOf(code))), // patterns without the factor have no cells
    levels.map(({ label }) => label), { confidence: question.confidence, robust: cells.cells.cluster !== undefined },
  );
  if (result.status !== 'ok') return { ...described, test: result, levels: result };
  return {
    ...described,
    notes: [...described.notes, ...result.fit.notes, ...clusterNotes(result.robust, question.cluster)],
    test: result.interaction.wald,
    levels: result.subgroups.map(({ procedures, events: ofLevel, ratios }, l): SubgroupLevel => {
      const within = patternCounts(cellsWhere(cells, (p) => own.codes[p] === found[l]));
      return {
        level: levels[l]!.key, label: levels[l]!.label, procedures, events: ofLevel,
        ratios: sayingOwnLimits(ratios.map((ratio, j) => hazardRatioOf(group, j, ratio, within)), result.robust),
      };
    }),
  };
}
