/** Which of `size` equally spaced positions, from 0, is nearest to a place on a line from `start` that is `length` long. */
export const positionAt = (place: number, start: number, length: number, size: number): number =>
  Math.min(size - 1, Math.max(0, Math.round(((place - start) / length) * (size - 1))));
