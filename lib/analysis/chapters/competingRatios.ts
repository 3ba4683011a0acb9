import { eventCode } from '../../cohort/outcome';
import type { Question } from '../../contract/question';
import { causeOfInterest } from '../../stats/causeOfInterest';
import type { NotEstimable } from '../../stats/cells';
import type { AskedCohort } from '../askedCohort';
import { askedModel, merged } from '../askedModel';
import { groupRatios, type GroupRatios } from '../groupRatios';
import { hazardRatioOf } from '../hazardRatio';
import { patternCounts } from '../levelCounts';
import type { Model } from '../model';
import type { HazardRatio } from '../result';
import { subdistributionRatios } from '../subdistributionRatios';
import type { CompetingRatios } from './competingRisksResult';

/** Cause-specific ratios for revision and for death, and subdistribution ratios for revision, of every group but the reference. */
export function competingRatios(asked: AskedCohort, question: Question): CompetingRatios | NotEstimable {
  const fitted = askedModel(asked);
  if (fitted.status !== 'ok') return fitted;
  const { model, adjustedFor, leftOut, procedures } = fitted;
  const revision = causeSpecific(model, question);
  const death = causeSpecific(ofDeath(model), question).map(inWordsOfDeath);
  const subdistribution = eachGroup(model, subdistributionRatios(model, question));
  return {
    status: 'ok', adjustedFor, procedures, leftOut,
    clusterLabel: asked.clusters === 'none' ? null : asked.clusters,
    groups: revision.map((ratio, j) => (
      { group: ratio.level, label: ratio.label, revision: ratio, death: death[j]!, subdistribution: subdistribution[j]! }
    )),
  };
}

const ofDeath = (model: Model): Model => ({ ...model, cohort: { ...model.cohort, cells: causeOfInterest(model.cohort.cells, eventCode.death) } });

const causeSpecific = (separate: Model, question: Question): readonly HazardRatio[] => {
  const model = merged(separate);
  return eachGroup(model, groupRatios(model, question));
};

/** A reason for all is one for each group. */
const eachGroup = ({ terms: [group], cohort }: Model, fitted: GroupRatios | NotEstimable): readonly HazardRatio[] =>
  (fitted.status === 'ok' ? fitted.ratios : group!.columns.map((_, j) => hazardRatioOf(group!, j, fitted, patternCounts(cohort))));

/** A model names its events revisions in its reasons. */
const inWordsOfDeath = (ratio: HazardRatio): HazardRatio => ('status' in ratio.estimate
  ? { ...ratio, estimate: { ...ratio.estimate, reason: ratio.estimate.reason.replaceAll('revision', 'death').replaceAll('the revised', 'the dead') } }
  : ratio);
