import { describe, expect, it } from 'vitest';
import { differences } from './differences';

describe('comparing what R gives now with what was recorded', () => {
  const recorded = { name: 'lung', coef: [0.5, 1e-17], df: 2, note: null };
  it.each([
    ['the same', recorded, []],
    ['rounding of another platform', { ...recorded, coef: [0.5 + 1e-12, -1e-16] }, []],
    ['another number', { ...recorded, coef: [0.5 + 1e-9, 0] }, ['coef[0]: recorded 0.5, now 0.500000001']],
    ['one value fewer', { ...recorded, coef: [0.5] }, ['coef: recorded 2 entries, now 1']],
    ['a name that is gone, and one that is new', { name: 'lung', coef: [0.5, 0], note: null, chisq: 3 }, ['value: recorded df, now missing', 'value: chisq was not recorded']],
    ['a number for nothing', { ...recorded, note: 0 }, ['note: recorded null, now 0']],
    ['another case', { ...recorded, name: 'ovarian' }, ['name: recorded "lung", now "ovarian"']],
  ])('%s', (_, now, found) => { expect(differences(recorded, now)).toEqual(found); });
});
