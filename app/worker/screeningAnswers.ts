import type { AnalysisOptions } from '../../lib/analysis/step';
import type { ChosenComponent, ScreeningQuestion } from '../../lib/contract/screeningQuestion';
import type { LoadedExtract } from '../../lib/engine/loadedExtract';
import { explainedReport, type ExplainedReport, type ExplainedView, type NotExplainedReport } from '../../lib/reports/screening/explainedReport';
import { screeningReport, type NoScreeningReport, type ScreeningReport } from '../../lib/reports/screening/screeningReport';
import { explainComponent } from '../../lib/screening/components/explainComponent';
import { screenComponents } from '../../lib/screening/components/screenComponents';

/** Answers about models. The last of each kind is kept: another view of it needs no new work. */
export function screeningAnswers(registry: () => LoadedExtract) {
  let keptAll: { readonly key: string; readonly result: Awaited<ReturnType<typeof screenComponents>> } | null = null;
  let keptOne: { readonly key: string; readonly result: Awaited<ReturnType<typeof explainComponent>> } | null = null;
  return {
    async all(question: ScreeningQuestion, options: AnalysisOptions): Promise<ScreeningReport | NoScreeningReport> {
      const key = JSON.stringify(question);
      if (keptAll?.key !== key) {
        const result = await screenComponents(registry(), question, options);
        options.signal?.throwIfAborted(); // before it is kept
        keptAll = { key, result };
      }
      return keptAll.result.status === 'empty' ? keptAll.result : screeningReport(keptAll.result);
    },
    async one(question: ScreeningQuestion, chosen: ChosenComponent, view: ExplainedView, options: AnalysisOptions): Promise<ExplainedReport | NotExplainedReport> {
      const key = JSON.stringify({ question, chosen });
      if (keptOne?.key !== key) {
        const result = await explainComponent(registry(), question, chosen, options);
        options.signal?.throwIfAborted();
        keptOne = { key, result };
      }
      return explainedReport(keptOne.result, view);
    },
    /** Another registry is loaded. */
    forget(): void {
      keptAll = keptOne = null;
    },
  };
}
