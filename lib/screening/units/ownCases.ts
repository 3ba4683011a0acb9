import { stepOf, type AnalysisOptions } from '../../analysis/step';
import { procedureConditions } from '../../cohort/conditions';
import { ownCasesQuery } from '../../cohort/ownCases';
import { labelOf, reasonCodes, reoperationKindCodes } from '../../contract/codes';
import type { ChosenUnit, UnitsQuestion } from '../../contract/unitsQuestion';
import type { LoadedExtract } from '../../engine/loadedExtract';
import { comparisonQuestion } from './comparisonQuestion';
import type { OwnCase } from './unitsResult';

/**
 * The unit's procedures of the cohort that were revised up to the horizon, by the keys of its own records: for the unit alone. Those without one of the
 * covariates are among them, although no revision is expected of them.
 */
export async function ownCases(
  { database }: LoadedExtract, question: UnitsQuestion, { kind, id }: ChosenUnit, options: AnalysisOptions = {},
): Promise<readonly OwnCase[]> {
  await stepOf(options)('Listing the revised procedures', 0);
  const conditions = [...procedureConditions(question.cohort, question.horizonYears), { sql: `${kind}::VARCHAR = ?`, params: [id] }];
  const result = await database.query(ownCasesQuery(conditions, comparisonQuestion(question)));
  const dates = result.texts('procedure_date'), days = result.numbers('days'), kinds = result.texts('kind'), reasons = result.texts('reason');
  return result.texts('procedure_id').map((procedureId, i) => ({
    procedureId: procedureId ?? '', procedureDate: dates[i] ?? '', days: days[i]!,
    kind: labelOf(reoperationKindCodes, kinds[i] ?? ''),
    reason: reasons[i] == null ? 'Reason not recorded' : labelOf(reasonCodes, reasons[i]),
  }));
}
