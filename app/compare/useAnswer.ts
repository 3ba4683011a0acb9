'use client';
import type { Question } from '../../lib/contract/question';
import type { View } from '../../lib/contract/view';
import type { ComparisonReport, EmptyReport } from '../../lib/reports/comparisonReport';
import { useWorked, type AskWorker, type Worked } from '../parts/useWorked';

interface Asked { readonly question: Question; readonly view: View }
type Report = ComparisonReport | EmptyReport;

const ask: AskWorker<Asked, Report> = (worker, { question, view }, onProgress) => worker.answer(question, view, onProgress);

export const useAnswer = (asked: Asked | null): Worked<Report> => useWorked(asked, ask);
