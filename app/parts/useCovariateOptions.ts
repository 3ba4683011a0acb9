'use client';
import { covariates, type Covariate } from '../../lib/contract/question';
import { isCovariateRecorded } from '../../lib/contract/unrecorded';
import { capital } from '../../lib/reports/phrases';
import { covariateLabels } from '../../lib/reports/questionWords';
import { useWorkbench } from '../shell/WorkbenchProvider';
import { notRecorded, type Option } from './fields';

/** What can be adjusted for; a covariate that the extract nowhere records says so. */
export function useCovariateOptions(except?: string): readonly Option[] {
  const { loaded } = useWorkbench();
  const isRecorded = (covariate: Covariate) => loaded === null || isCovariateRecorded(loaded.recorded, covariate);
  return covariates.filter((key) => key !== except).map((key) => ({ key, label: capital(covariateLabels[key]), ...notRecorded(isRecorded(key)) }));
}
