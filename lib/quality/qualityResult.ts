import type { Source } from '../engine/loadedExtract';
import type { Completeness } from './completeness/completeness';
import type { FollowUpQuality } from './followUp/lostFollowUp';
import type { ReportingLag } from './followUp/reportingLag';
import type { Linkage } from './linkage/linkage';
import type { Drift } from './patterns/drift';
import type { Pattern } from './patterns/pattern';

/** How far an extract can be trusted, before any curve of it is read. Counts of kept records; shares 0–1; times in whole days. */
export interface QualityResult {
  readonly source: Source;
  readonly procedures: number;
  readonly completeness: Completeness;
  readonly linkage: Linkage;
  readonly patterns: readonly Pattern[];
  readonly drift: Drift;
  readonly followUp: FollowUpQuality;
  readonly lag: ReportingLag;
}
