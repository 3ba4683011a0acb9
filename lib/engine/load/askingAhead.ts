/** Gives what is made, piece by piece, while the next is made: a file is looked through or decoded while the engine takes in the piece before. */
export async function* askingAhead<Piece, End>(made: AsyncGenerator<Piece, End>): AsyncGenerator<Piece, End> {
  for (let next = made.next(); ;) {
    const found = await next;
    if (found.done === true) return found.value;
    next = made.next();
    next.catch(() => undefined); // awaited above, in its turn
    yield found.value;
  }
}
