'use client';
import * as Comlink from 'comlink';
import type { Question } from '../../lib/contract/question';
import type { View } from '../../lib/contract/view';
import type { ComparisonReport, EmptyReport } from '../../lib/reports/comparisonReport';
import { continued, type FirstReport } from '../../lib/reports/firstReport';
import { useWorked, type AskWorker, type Worked } from '../parts/useWorked';

interface Asked { readonly question: Question; readonly view: View }
type Report = ComparisonReport | EmptyReport | FirstReport;

const ask: AskWorker<Asked, Report> = async (worker, { question, view }, onProgress, onFirst) => {
  const begun: FirstReport[] = []; // the last one is the newest
  const report = await worker.answer(question, view, onProgress, Comlink.proxy(async (told) => {
    const before = begun.at(-1), first = told.status === 'first' ? told : before && { ...before, ratios: told };
    if (first === undefined) return;
    begun.push(first);
    await onFirst(first);
  }));
  const first = begun.at(-1);
  return first !== undefined && report.status === 'ok' ? continued(first, report) : report;
};

export const useAnswer = (asked: Asked | null): Worked<Report> => useWorked(asked, ask);
