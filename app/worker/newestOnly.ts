import type { AnalysisOptions, AnalysisProgress } from '../../lib/analysis/step';
import type { Superseded } from './workbench';

export const superseded: Superseded = { status: 'superseded' };

type Run = <R>(work: (options: AnalysisOptions) => Promise<R>, onProgress: (progress: AnalysisProgress) => void) => Promise<R | Superseded>;

/** Work of which only what was asked last counts. */
export interface NewestOnly {
  /** Ends what is being done and does this instead. */
  readonly run: Run;
  /** Does this as a part of what was asked last. */
  readonly goOn: Run;
  /** Ends what is being done. */
  readonly end: () => void;
}

export function newestOnly(): NewestOnly {
  let current = new AbortController();
  const end = () => { current.abort(superseded); };
  const goOn: Run = async (work, onProgress) => {
    const { signal } = current;
    try {
      const result = await work({ signal, onProgress });
      signal.throwIfAborted(); // the registry may have changed on the way
      return result;
    } catch (error) {
      if (signal.aborted) return superseded;
      throw error;
    }
  };
  const run: Run = (work, onProgress) => {
    end();
    current = new AbortController();
    return goOn(work, onProgress);
  };
  return { run, goOn, end };
}
