/** How far a load has come. */
export interface LoadProgress {
  readonly label: string; // the stage: what is being done, in plain words
  readonly fraction: number; // 0–1 of the whole load
  /** Records taken in of the table that is being read; `of` is there once their number is known or can be estimated. */
  readonly rows?: { readonly done: number; readonly of?: number };
  /** Of the whole load; there once it can be said. */
  readonly secondsLeft?: number;
}
