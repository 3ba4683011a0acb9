import { nextTask } from '../engine/nextTask';

export interface AnalysisProgress {
  readonly label: string; // what is being done, in plain words
  readonly fraction: number; // 0–1 of the whole
}

export interface AnalysisOptions {
  readonly signal?: AbortSignal;
  readonly onProgress?: (progress: AnalysisProgress) => void;
}

/** Says what comes next, and lets a newer question stop the work there: it then throws the signal's reason. */
export type Step = (label: string, fraction: number) => Promise<void>;

export function stepOf({ signal, onProgress }: AnalysisOptions): Step {
  let said: AnalysisProgress | null = null;
  return async (label, fraction) => {
    if (said?.label !== label || said.fraction !== fraction) onProgress?.(said = { label, fraction });
    await nextTask(); // lets a worker hear of a newer question
    signal?.throwIfAborted();
  };
}
