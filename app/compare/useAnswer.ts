'use client';
import * as Comlink from 'comlink';
import { useEffect, useState } from 'react';
import type { Question } from '../../lib/contract/question';
import type { View } from '../../lib/contract/view';
import type { ComparisonReport, EmptyReport } from '../../lib/reports/comparisonReport';
import { useWorkbench } from '../shell/WorkbenchProvider';
import type { Progress } from '../worker/workbench';

/** The latest answer. While a newer one is worked out the one before stays, with the progress of the newer. */
export interface Answered {
  readonly report: ComparisonReport | EmptyReport | null;
  readonly failed: string | null;
  readonly progress: Progress | null;
}

const begun: Progress = { label: 'Working out the answer', fraction: 0 };

export function useAnswer(asked: { readonly question: Question; readonly view: View } | null): Answered {
  const { worker, loaded } = useWorkbench();
  const [answered, setAnswered] = useState<Answered & { readonly to: unknown }>({ to: null, report: null, failed: null, progress: null });
  useEffect(() => {
    if (worker === null || loaded === null || asked === null) return undefined;
    let current = true;
    const show = (part: Partial<Answered>, to: object | null) => {
      if (!current) return;
      setAnswered((before) => ({ ...before, ...part, to }));
      if (to !== null) current = false; // progress may arrive after the end
    };
    worker.answer(asked.question, asked.view, Comlink.proxy((progress: Progress) => { show({ progress }, null); })).then(
      (report) => { if (report.status !== 'superseded') show({ report, failed: null, progress: null }, asked); },
      (error: unknown) => { show({ report: null, failed: error instanceof Error ? error.message : String(error), progress: null }, asked); },
    );
    return () => { current = false; };
  }, [worker, loaded, asked]);
  return answered.to === asked || loaded === null ? answered : { ...answered, failed: null, progress: answered.progress ?? begun };
}
