import { uniformFloat64 } from 'pure-rand/distribution/uniformFloat64';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';

/** A stream of uniform numbers from 0 to below 1. The seed is a whole number, and stands for one stream. */
export function randomSource(seed: number): () => number {
  if (!Number.isInteger(seed)) throw new RangeError(`seed must be a whole number: ${seed}`);
  const generator = xoroshiro128plus(seed);
  return () => uniformFloat64(generator);
}
