import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fromUnitsAddress, toUnitsAddress } from '../../lib/contract/unitsAddress';
import { UnitsQuestion } from '../../lib/contract/unitsQuestion';

const usual = UnitsQuestion.parse({});
const bar = { percent: 5, margin: 1, atYears: 10, joint: 'hip', source: 'A guideline, 2014', setIn: 2014 } as const;

describe('the address of a question about units', () => {
  it('is empty for the usual question, and an empty address asks it', () => {
    expect(toUnitsAddress(usual)).toBe('');
    expect(fromUnitsAddress('')).toEqual({ status: 'ok', question: usual });
  });

  it.each([
    { what: 'surgeons', question: { kind: 'surgeon' }, address: 'units=surgeon' },
    { what: 'a cohort', question: { cohort: { classes: ['reverse_total'], firstYear: 2015 } }, address: 'class=reverse_total&year-from=2015' },
    { what: 'no adjustment', question: { adjust: [] }, address: 'adjust=' },
    { what: 'a rule of its own', question: { alarmLevel: 0.998, minimumRatio: 2 }, address: 'alarm-level=0.998&smallest-ratio=2' },
    {
      what: 'a benchmark with its source', question: { benchmark: bar },
      address: 'benchmark=5&benchmark-margin=1&benchmark-at=10&benchmark-year=2014&benchmark-joint=hip&benchmark-source=A+guideline%2C+2014',
    },
  ])('says $what and is read back', ({ question, address }) => {
    const asked = UnitsQuestion.parse(question);
    expect(toUnitsAddress(asked)).toBe(address);
    expect(fromUnitsAddress(address)).toEqual({ status: 'ok', question: asked });
  });

  it.each([
    ['unit=H012', '“unit” is not a parameter of the address.'], // an identifier has no place in it
    ['hospital=H012', '“hospital” is not a parameter of the address.'],
    ['peers=near', '“peers” in the address'],
    ['benchmark=5&benchmark-joint=hip', '“benchmark-source” in the address'], // no bar without its source
    ['alarm-level=1.5', '“alarm-level” in the address'],
  ])('refuses %s', (address, problem) => {
    const asked = fromUnitsAddress(address);
    expect(asked.status === 'refused' && asked.problems.some((p) => p.startsWith(problem))).toBe(true);
  });

  it('brings back whatever was asked', () => {
    fc.assert(fc.property(
      fc.constantFrom('hospital', 'surgeon'), fc.constantFrom('all', 'volume', 'region', 'chosen'), fc.integer({ min: 1, max: 30 }),
      fc.option(fc.record({ percent: fc.integer({ min: 1, max: 99 }), margin: fc.integer({ min: 0, max: 40 }), source: fc.string({ minLength: 3 }).filter((s) => s.trim().length >= 3) })),
      (kind, peers, horizonYears, set) => {
        const question = UnitsQuestion.parse({ kind, peers, horizonYears, benchmark: set === null ? null : { ...bar, ...set } });
        expect(fromUnitsAddress(toUnitsAddress(question))).toEqual({ status: 'ok', question });
      },
    ));
  });
});
