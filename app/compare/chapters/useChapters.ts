'use client';
import * as Comlink from 'comlink';
import { startTransition, useEffect, useState } from 'react';
import type { ChapterName } from '../../../lib/analysis/chapters';
import type { View } from '../../../lib/contract/view';
import type { ChapterReport } from '../../../lib/reports/chapters/chapterReport';
import { readingOrder } from '../../../lib/reports/chapters/sections';
import type { ComparisonReport, EmptyReport } from '../../../lib/reports/comparisonReport';
import type { FirstReport } from '../../../lib/reports/firstReport';
import { useDrawn } from '../../parts/useDrawn';
import { useWorkbench } from '../../shell/WorkbenchProvider';
import type { Progress } from '../../worker/workbench';

/** A chapter of the answer that is shown. */
export type Arriving =
  | { readonly status: 'waiting' }
  | { readonly status: 'working'; readonly progress: Progress }
  | { readonly status: 'failed'; readonly problem: string }
  | { readonly status: 'arrived'; readonly report: ChapterReport };

export type Chapters = Readonly<Partial<Record<ChapterName, Arriving>>>;

const none: Chapters = {};
/** Another registry has other chapters to the same question. */
const keyOf = ({ question, source }: ComparisonReport) => JSON.stringify([question, source]);

/** Answers the chapters of a settled answer one after another. Of another view the ones before stay until the new ones arrive. */
export function useChapters(shown: ComparisonReport | EmptyReport | FirstReport | null, view: View | null, settled: boolean): Chapters {
  const { worker } = useWorkbench();
  const [state, setState] = useState<{ readonly key: string; readonly chapters: Chapters }>({ key: '', chapters: none });
  const drawn = useDrawn(state);
  useEffect(() => {
    if (worker === null || shown?.status !== 'ok' || view === null || !settled) return undefined;
    const key = keyOf(shown);
    let current = true;
    const show = (name: ChapterName, arriving: Arriving) => {
      if (!current) return;
      startTransition(() => { // drawn in pieces: the page stays free
        setState((before) => {
          const chapters = before.key === key ? before.chapters : none;
          const kept = arriving.status === 'working' && chapters[name]?.status === 'arrived'; // the one of the view before
          return { key, chapters: kept ? chapters : { ...chapters, [name]: arriving } };
        });
      });
    };
    const answerAll = async () => {
      for (const name of readingOrder(shown.sections)) {
        let over = false; // progress may arrive after the end
        const onProgress = Comlink.proxy((progress: Progress) => { if (!over) show(name, { status: 'working', progress }); });
        try {
          const report = await worker.chapter(name, shown.question, view, onProgress);
          if ('status' in report) return;
          over = true;
          show(name, { status: 'arrived', report });
        } catch (error) {
          over = true;
          show(name, { status: 'failed', problem: error instanceof Error ? error.message : String(error) });
        }
        if (current) await drawn();
        if (!current) return;
      }
    };
    void answerAll();
    return () => { current = false; };
  }, [worker, shown, view, settled, drawn]);
  return shown?.status === 'ok' && state.key === keyOf(shown) ? state.chapters : none;
}
