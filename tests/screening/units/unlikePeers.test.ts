import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { unlikelyNone, unlikePeers } from '@/lib/screening/units/unlikePeers';

describe('a share that is clearly unlike the peers', () => {
  it.each([
    { story: 'a third lack a BMI, of the peers a tenth', own: [66, 200], peers: [1000, 10_000], unlike: true },
    { story: 'all recorded, where the peers lack a tenth', own: [0, 200], peers: [1000, 10_000], unlike: true },
    { story: 'a large registry shows four points, which do not matter', own: [1400, 10_000], peers: [10_000, 100_000], unlike: false },
    { story: 'one of five is chance', own: [1, 5], peers: [100, 10_000], unlike: false },
    { story: 'alike', own: [20, 200], peers: [1000, 10_000], unlike: false },
    { story: 'nothing to count', own: [0, 0], peers: [5, 100], unlike: false },
  ])('$story: $unlike', ({ own, peers, unlike }) => {
    expect(unlikePeers({ count: own[0]!, of: own[1]! }, { count: peers[0]!, of: peers[1]! })).toBe(unlike);
  });

  it('does not depend on which of the two is asked about, nor on counting what is or what is not', () => {
    const share = fc.integer({ min: 1, max: 400 }).chain((of) => fc.record({ of: fc.constant(of), count: fc.integer({ min: 0, max: of }) }));
    const rest = ({ count, of }: { count: number; of: number }) => ({ count: of - count, of });
    fc.assert(fc.property(share, share, (a, b) => {
      expect(unlikePeers(b, a)).toBe(unlikePeers(a, b));
      expect(unlikePeers(rest(a), rest(b))).toBe(unlikePeers(a, b));
    }));
  });

  // A Poisson count with mean 6.9 is 0 with probability 0.00101, with mean 7 with 0.00091.
  it.each([[2, false], [6.9, false], [7, true], [40, true], [NaN, false]])('none revised where %d are expected: %s', (expected, unlikely) => {
    expect(unlikelyNone(expected)).toBe(unlikely);
  });
});
