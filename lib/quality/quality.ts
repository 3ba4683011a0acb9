import { stepOf, type AnalysisOptions } from '../analysis/step';
import type { LoadedExtract } from '../engine/loadedExtract';
import { completeness } from './completeness/completeness';
import { lostFollowUp } from './followUp/lostFollowUp';
import { reportingLag } from './followUp/reportingLag';
import { linkage } from './linkage/linkage';
import { datePatterns } from './patterns/dates';
import { digitPatterns } from './patterns/digits';
import { drift } from './patterns/drift';
import { implantPatterns } from './patterns/implants';
import { patientPatterns } from './patterns/patients';
import { placePatterns } from './patterns/places';
import type { QualityResult } from './qualityResult';
import { sql } from '../engine/database';

/** What is recorded, linked, implausible and lost in an extract. Throws the signal's reason when aborted. */
export async function quality({ database, source }: LoadedExtract, options: AnalysisOptions = {}): Promise<QualityResult> {
  const step = stepOf(options);
  await step('Counting what is recorded', 0);
  const recorded = await completeness(database);
  await step('Looking at how re-operations were linked', 0.3);
  const linked = await linkage(database);
  await step('Looking for what is implausible', 0.5);
  const patterns = [...await datePatterns(database), ...await digitPatterns(database), ...await patientPatterns(database), ...await implantPatterns(database), ...await placePatterns(database)];
  await step('Comparing codes over the years', 0.8);
  const drifted = await drift(database);
  await step('Adding up follow-up', 0.9);
  const followUp = await lostFollowUp(database, source.closingDate), lag = await reportingLag(database, source.closingDate);
  const procedures = (await database.query(sql('SELECT count(*)::INTEGER AS n FROM followup'))).numbers('n')[0]!;
  return { source, procedures, completeness: recorded, linkage: linked, patterns, drift: drifted, followUp, lag };
}
