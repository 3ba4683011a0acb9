/** Work that takes long: it can be left, or go on, wherever it yields. */
export type Pieces<T> = Generator<undefined, T, undefined>;

export function atOnce<T>(pieces: Pieces<T>): T {
  let piece = pieces.next();
  while (piece.done !== true) piece = pieces.next();
  return piece.value;
}

/** `between` may throw, and the work ends. */
export async function pieceByPiece<T>(pieces: Pieces<T>, between: () => Promise<void>): Promise<T> {
  let piece = pieces.next();
  while (piece.done !== true) {
    await between();
    piece = pieces.next();
  }
  return piece.value;
}
