const mostKept = 2 ** 24; // bytes: what is larger is made anew each time and let go

/**
 * Memory for what a function works out in between and hands on to nobody: new memory takes the machine longer than most loops over it. Each place that needs some has its own,
 * and what is in it at first is what was left from before.
 */
export const floatsUsedAgain = (): ((length: number) => Float64Array) => usedAgain((length) => new Float64Array(length));
export const integersUsedAgain = (): ((length: number) => Int32Array) => usedAgain((length) => new Int32Array(length));

function usedAgain<T extends Float64Array | Int32Array>(made: (length: number) => T): (length: number) => T {
  let kept = made(0);
  return (length) => {
    if (length * kept.BYTES_PER_ELEMENT > mostKept) return made(length);
    if (kept.length < length) kept = made(length);
    return kept.subarray(0, length) as T;
  };
}
