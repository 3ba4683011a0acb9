import type { AnalysisOptions } from '../../lib/analysis/step';
import type { LoadedExtract } from '../../lib/engine/loadedExtract';
import { linkageCsv } from '../../lib/quality/linkage/linkageCsv';
import { linkageRows } from '../../lib/quality/linkage/linkageRows';
import { quality } from '../../lib/quality/quality';
import type { QualityResult } from '../../lib/quality/qualityResult';
import { linkageTable } from '../../lib/reports/quality/linkageTable';
import { qualityReport, type QualityReport } from '../../lib/reports/quality/qualityReport';
import type { QualityView } from '../../lib/reports/quality/qualityView';
import type { ReportTable } from '../../lib/reports/table';

/** How far the extract can be trusted. Kept for as long as it is loaded. */
export function qualityAnswers(registry: () => LoadedExtract) {
  let kept: { readonly of: LoadedExtract; readonly result: QualityResult } | null = null;
  return {
    async quality(view: QualityView, options: AnalysisOptions): Promise<QualityReport> {
      const extract = registry();
      if (kept?.of !== extract) {
        const result = await quality(extract, options);
        options.signal?.throwIfAborted(); // before it is kept
        kept = { of: extract, result };
      }
      return qualityReport(kept.result, view);
    },
    async linkageRows(from: number, count: number): Promise<ReportTable> {
      return linkageTable(await linkageRows(registry().database, from, count));
    },
    async linkageCsv(): Promise<Blob> {
      const pieces: string[] = [];
      for await (const piece of linkageCsv(registry().database)) pieces.push(piece);
      return new Blob(pieces, { type: 'text/csv' });
    },
    /** Another registry is loaded. */
    forget(): void {
      kept = null;
    },
  };
}
