const earliestSeconds = 2, earliestFraction = 0.03;
const trust = 0.15; // how far the expected end moves towards what the latest step tells

/**
 * The seconds that are left of some work, from how fast it has gone so far. Undefined until that can be said. What the latest step tells is
 * taken over by and by, so that the number does not jump.
 * @param now seconds
 */
export function timeLeft(now: () => number = () => performance.now() / 1000): (fraction: number) => number | undefined {
  const start = now();
  let end: number | null = null; // as expected
  return (fraction) => {
    const elapsed = now() - start;
    if (elapsed < earliestSeconds || fraction < earliestFraction) return undefined;
    const told = elapsed / fraction;
    end = end === null ? told : end + trust * (told - end);
    return Math.max(0, end - elapsed);
  };
}
