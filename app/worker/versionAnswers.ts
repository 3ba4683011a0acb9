import type { AnalysisOptions } from '../../lib/analysis/step';
import type { Question } from '../../lib/contract/question';
import { UnitsQuestion } from '../../lib/contract/unitsQuestion';
import type { OpenDatabase } from '../../lib/engine/database';
import { loadExtract } from '../../lib/engine/loadExtract';
import type { LoadedExtract } from '../../lib/engine/loadedExtract';
import { compareVersions, type VersionChanges } from '../../lib/quality/versions/compareVersions';
import { differencesCsv } from '../../lib/quality/versions/differencesCsv';
import { movedNumbers } from '../../lib/quality/versions/movedNumbers';
import { refusedReport } from '../../lib/reports/loadedReport';
import { sourceLine } from '../../lib/reports/provenance';
import { versionsReport, type Versions, type VersionsReport } from '../../lib/reports/quality/versionsReport';
import type { QualityView } from '../../lib/reports/quality/qualityView';
import { versionFlags } from '../../lib/screening/units/versionFlags';
import { extractFile } from './inspectionAnswers';
import type { Workbench } from './workbench';

/** An older version of the loaded extract, in a database of its own beside it. It is let go of with the loaded one, or when it is no longer wanted. */
export function versionAnswers(registry: () => LoadedExtract, open: OpenDatabase) {
  let older: LoadedExtract | null = null, loading = new AbortController();
  let changes: { readonly of: LoadedExtract; readonly found: VersionChanges } | null = null;
  let kept: { readonly key: string; readonly of: LoadedExtract; readonly versions: Versions } | null = null;

  function close(): void {
    loading.abort(new Error('the older version was let go of'));
    void older?.database.close();
    older = changes = kept = null;
  }

  const loadOlder: Workbench['loadOlder'] = async (files, mapping, onProgress) => {
    close();
    const { signal } = loading = new AbortController();
    try {
      const result = await loadExtract(open, files.map(extractFile), { onProgress, signal, mapping: mapping ?? undefined });
      if (result.status === 'refused') return refusedReport(result.problems);
      if (signal.aborted) {
        await result.extract.database.close();
        return { status: 'cancelled' };
      }
      older = result.extract;
      return { status: 'loaded', source: sourceLine(older.source) };
    } catch (error) {
      if (signal.aborted) return { status: 'cancelled' };
      throw error;
    }
  };

  async function versions(question: Question, view: QualityView, options: AnalysisOptions): Promise<VersionsReport> {
    const newer = registry(), before = older, key = JSON.stringify(question);
    if (before === null) throw new Error('no older version is loaded');
    if (kept?.key !== key || kept.of !== before) {
      const found = changes?.of === before ? changes.found : await compareVersions(before, newer, options);
      changes = { of: before, found };
      const moved = await movedNumbers(before, newer, question, options);
      const hospitals = await versionFlags(before, newer, UnitsQuestion.parse({}), options);
      options.signal?.throwIfAborted(); // before it is kept
      kept = { key, of: before, versions: { changes: found, moved, hospitals } };
    }
    return versionsReport(kept.versions, view);
  }

  return {
    loadOlder, versions, close,
    differences: (): Promise<Blob> => Promise.resolve(new Blob(changes === null ? [] : [...differencesCsv(changes.found)], { type: 'text/csv' })),
  };
}
