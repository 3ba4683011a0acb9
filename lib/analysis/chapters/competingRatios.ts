import { eventCode } from '../../cohort/outcome';
import type { Question } from '../../contract/question';
import { causeOfInterest } from '../../stats/causeOfInterest';
import type { NotEstimable } from '../../stats/cells';
import { hazardRatios } from '../../stats/cox/hazardRatios';
import { fineGray } from '../../stats/fineGray/fineGray';
import type { AskedCohort } from '../askedCohort';
import { askedModel, merged } from '../askedModel';
import { groupRatios } from '../groupRatios';
import { againstReference } from '../againstReference';
import { hazardRatioOf } from '../hazardRatio';
import type { Model } from '../model';
import type { HazardRatio } from '../result';
import type { CompetingRatios } from './competingRisksResult';

/** Cause-specific ratios for revision and for death, and subdistribution ratios for revision, of every group but the reference. */
export function competingRatios(asked: AskedCohort, question: Question): CompetingRatios | NotEstimable {
  const fitted = askedModel(asked);
  if (fitted.status !== 'ok') return fitted;
  const { model, adjustedFor, leftOut, procedures } = fitted;
  const revision = causeSpecific(model, question);
  const death = causeSpecific(ofDeath(model), question).map(inWordsOfDeath);
  const subdistribution = subdistributionRatios(model, question);
  return {
    status: 'ok', adjustedFor, procedures, leftOut,
    clusterLabel: question.cluster === 'none' ? null : question.cluster,
    groups: revision.map((ratio, j) => (
      { group: ratio.level, label: ratio.label, revision: ratio, death: death[j]!, subdistribution: subdistribution[j]! }
    )),
  };
}

const ofDeath = (model: Model): Model => ({ ...model, cohort: { ...model.cohort, cells: causeOfInterest(model.cohort.cells, eventCode.death) } });

/** Ratios of the groups alone, the first term of the model. */
function causeSpecific(separate: Model, question: Question): readonly HazardRatio[] {
  const model = merged(separate), fitted = groupRatios(model, question), group = model.terms[0]!;
  return fitted.status === 'ok' ? fitted.ratios : group.columns.map((_, j) => hazardRatioOf(group, j, fitted, model.cohort));
}

/** Length of follow-up may differ between the groups, so each has a censoring distribution of its own. */
function subdistributionRatios({ cohort, design, terms: [group] }: Model, { confidence }: Question): readonly HazardRatio[] {
  const fitted = fineGray(cohort.cells, design, { censoringGroup: cohort.group });
  return fitted.status === 'ok'
    ? againstReference(group!, hazardRatios(fitted.fit, { confidence, covariance: fitted.robust.covariance }), 0, cohort)
    : group!.columns.map((_, j) => hazardRatioOf(group!, j, fitted, cohort));
}

/** A model names its events revisions in its reasons. */
const inWordsOfDeath = (ratio: HazardRatio): HazardRatio => ('status' in ratio.estimate
  ? { ...ratio, estimate: { ...ratio.estimate, reason: ratio.estimate.reason.replaceAll('revision', 'death').replaceAll('the revised', 'the dead') } }
  : ratio);
