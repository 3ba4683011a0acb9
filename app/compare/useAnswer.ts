'use client';
import * as Comlink from 'comlink';
import type { Question } from '../../lib/contract/question';
import type { View } from '../../lib/contract/view';
import type { ComparisonReport, EmptyReport } from '../../lib/reports/comparisonReport';
import type { FirstReport } from '../../lib/reports/firstReport';
import { useWorked, type AskWorker, type Worked } from '../parts/useWorked';

interface Asked { readonly question: Question; readonly view: View }
type Report = ComparisonReport | EmptyReport | FirstReport;

const ask: AskWorker<Asked, Report> = (worker, { question, view }, onProgress, onFirst) => worker.answer(question, view, onProgress, Comlink.proxy(onFirst));

export const useAnswer = (asked: Asked | null): Worked<Report> => useWorked(asked, ask);
