import type { ChapterName } from '../../lib/analysis/chapters';
import type { Question } from '../../lib/contract/question';
import type { View } from '../../lib/contract/view';
import type { Level } from '../../lib/analysis/levels';
import type { LoadProgress } from '../../lib/engine/loadExtract';
import type { ChapterReport } from '../../lib/reports/chapters/chapterReport';
import type { ComparisonReport, EmptyReport } from '../../lib/reports/comparisonReport';
import type { LoadedReport, RefusedReport } from '../../lib/reports/loadedReport';

export type Progress = LoadProgress;

/** What the page asks of the worker that holds the registry and does the work. */
export interface Workbench {
  /** Loads the files; the registry loaded before stays when they are refused. `sample`: the address of the sample registry instead. */
  load(files: readonly File[] | { readonly sample: string }, onProgress: (progress: Progress) => void): Promise<LoadedReport | RefusedReport>;
  /** A newer question supersedes an older one. */
  answer(question: Question, view: View, onProgress: (progress: Progress) => void): Promise<ComparisonReport | EmptyReport | Superseded>;
  /** A chapter of the question that was answered last. */
  chapter(name: ChapterName, question: Question, view: View, onProgress: (progress: Progress) => void): Promise<ChapterReport | Superseded>;
  /** The levels of the comparison among those who meet the rest of the question, largest first. */
  levels(question: Question): Promise<readonly Level[]>;
  /** Every record and value that was set aside, row by row, as CSV. */
  setAside(): Promise<Blob>;
}

export interface Superseded { readonly status: 'superseded' }
