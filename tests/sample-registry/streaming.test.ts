import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { expect, it } from 'vitest';
import { simulate } from '@/sample-registry/simulate';

it('keeps no rows: what is held in memory does not grow with the procedures written', () => {
  setFlagsFromString('--expose-gc');
  const collect = runInNewContext('gc') as () => void;
  const held: number[] = [];
  let procedures = 0;
  simulate({ procedures: 200_000, seed: 1 }, {
    write(table) {
      if (table !== 'procedures' || ++procedures % 40_000 !== 0) return;
      collect();
      held.push(process.memoryUsage().heapUsed);
    },
  });
  expect(procedures).toBeGreaterThanOrEqual(200_000);
  // 160,000 procedures lie between the first and the last reading: 25 bytes kept of each would show.
  expect(held.at(-1)! - held[0]!).toBeLessThan(4_000_000);
});
