import type { AnalysisOptions } from '../../lib/analysis/step';
import type { MonitoredUnit, MonitoringQuestion } from '../../lib/contract/monitoringQuestion';
import type { LoadedExtract } from '../../lib/engine/loadedExtract';
import { monitoringReport, notMonitoredReport, type MonitoringReport, type NotMonitoredReport } from '../../lib/reports/monitoring/monitoringReport';
import { overviewReport, type OverviewReport, type OverviewView } from '../../lib/reports/monitoring/overviewReport';
import { monitor } from '../../lib/screening/monitoring/monitor';
import { monitorAll } from '../../lib/screening/monitoring/overview';

/** Answers about charts over time. All charts of a kind are kept: another view of them needs no new work. */
export function monitoringAnswers(registry: () => LoadedExtract) {
  let kept: { readonly key: string; readonly result: Awaited<ReturnType<typeof monitorAll>> } | null = null;
  return {
    async one(question: MonitoringQuestion, unit: MonitoredUnit | null, options: AnalysisOptions): Promise<MonitoringReport | NotMonitoredReport> {
      const result = await monitor(registry(), question, unit, options);
      return result.status === 'empty' ? notMonitoredReport(result) : monitoringReport(result);
    },
    async all(question: MonitoringQuestion, view: OverviewView, options: AnalysisOptions): Promise<OverviewReport | NotMonitoredReport> {
      const key = JSON.stringify({ ...question, model: null, restart: null, reviews: null });
      if (kept?.key !== key) {
        const result = await monitorAll(registry(), question, options);
        options.signal?.throwIfAborted(); // before it is kept
        kept = { key, result };
      }
      return kept.result.status === 'empty' ? notMonitoredReport(kept.result) : overviewReport(kept.result, view);
    },
    /** Another registry is loaded. */
    forget(): void {
      kept = null;
    },
  };
}
