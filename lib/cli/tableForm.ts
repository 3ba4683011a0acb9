import { logRank } from '../stats/logRank';
import type { TableOptions } from './arguments';
import { aalenJohansenByGroup, grayTests } from './table/competing';
import { cellsOf, completeRows, type Needs } from './table/completeRows';
import { conditional, contrasts, restrictedMeans } from './table/contrasts';
import { coxAndTest } from './table/coxModel';
import { readCsvTable } from './table/csvTable';
import { fineGrayJson } from './table/fineGray';
import { frailtyJson } from './table/frailty';
import { groupCurves, kaplanMeierByGroup } from './table/kaplanMeier';
import { ratesByGroup } from './table/rates';
import { smoothedHazards } from './table/smoothedHazard';
import { studyOf, type Study } from './table/study';

/** Every estimate that the options ask for, each from the rows that are complete for it. */
export async function estimates(options: TableOptions) {
  const study = studyOf(await readCsvTable(options.table), options);
  const followUp = completeRows(study, {});
  const total = cellsOf(study, followUp, {});
  const sumOf = (counted: (cell: number) => boolean) => total.count.reduce((sum, count, i) => (counted(i) ? sum + count : sum), 0);

  const grouped: Needs = { group: true };
  const inGroups = completeRows(study, grouped), groupCells = cellsOf(study, inGroups, grouped), group = groupsOf(study, inGroups);
  const tested: Needs = { group: true, strata: true };
  const inTest = completeRows(study, tested);
  const modelled: Needs = { strata: true, cluster: true, covariates: study.covariates };
  const inModel = completeRows(study, modelled);
  const modelCells = cellsOf(study, inModel, modelled);
  const curves = groupCurves(groupCells, group, study.group.levels, options);
  return {
    n: sumOf(() => true),
    events: sumOf((i) => total.event[i] === 1),
    leftOut: {
      followUp: study.rows - followUp.length,
      km: study.rows - inGroups.length,
      rates: study.rows - inGroups.length,
      logrank: study.rows - inTest.length,
      cox: study.rows - inModel.length,
    },
    km: kaplanMeierByGroup(curves, options),
    rates: ratesByGroup(groupCells, group, study.group.levels),
    logrank: options.group === undefined ? null : logRankJson(study, inTest, tested),
    ...(study.covariates.length === 0 ? { cox: null, ph: null } : coxAndTest(modelCells, study.covariates, inModel, options)),
    aalenJohansen: aalenJohansenByGroup(groupCells, group, study.group.levels, options),
    gray: options.group === undefined ? null : grayTests(cellsOf(study, inTest, tested), groupsOf(study, inTest), study.group.levels),
    fineGray: study.covariates.length === 0 ? null : fineGrayJson(modelCells, study.covariates, inModel, options),
    frailty: study.covariates.length === 0 || study.cluster === null ? null : frailtyJson(modelCells, study.covariates, inModel, options),
    rmst: restrictedMeans(curves, options),
    contrasts: contrasts(curves, options),
    conditional: conditional(curves, options),
    smoothedHazard: smoothedHazards(curves, options),
  };
}

const groupsOf = (study: Study, rows: Int32Array): Int32Array => Int32Array.from(rows, (row) => study.group.code[row]!);

function logRankJson(study: Study, rows: Int32Array, needs: Needs) {
  const test = logRank(cellsOf(study, rows, needs), groupsOf(study, rows), study.group.levels.length);
  return test.status === 'ok' ? { chisq: test.chisq, df: test.df, p: test.p } : { chisq: null, df: null, p: null, ...test };
}
