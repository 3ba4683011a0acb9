import { expect, it } from 'vitest';
import { openNodeDatabase } from '../../lib/engine/node';
import { fuzzCase } from '../bench/fuzz/cases';
import { tryCase } from '../bench/fuzz/tryCase';

// Of the fuzz bench (tests/bench/fuzz.md): the first cases that once broke what must hold, each for a reason of its own.
it.each([
  [440, 'keys that had run into the line of names were shown as names of columns'],
  [524, 'line ends of another kind within a cell: the engine failed'],
  [1132, 'an Arrow file had lost the name of a column'],
  [7300, 'a Parquet file had numbers for keys throughout: the engine failed'],
  [13135, 'a line end of which a bit was turned had a key behind it, and both were shown'],
  [5321, 'the directory of an Arrow file told of a thousand million parts'],
])('case %i: %s', async (index) => {
  expect((await tryCase(await fuzzCase(1, index), openNodeDatabase)).failures).toEqual([]);
});
