/** Work in pieces, for who must not be held up: it can be left between them, where it may tell the share of it that is done, 0–1. */
export type InPieces<R, Told = undefined> = Generator<Told, R, undefined>;

/** Does all pieces at once. */
export function finish<R>(work: InPieces<R, unknown>): R {
  for (;;) {
    const { done, value } = work.next();
    if (done === true) return value;
  }
}

/** `between` may throw, which ends the work. */
export async function pieceByPiece<R, Told>(work: InPieces<R, Told>, between: (told: Told) => Promise<void>): Promise<R> {
  for (;;) {
    const { done, value } = work.next();
    if (done === true) return value;
    await between(value);
  }
}
