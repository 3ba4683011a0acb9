import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { measureNames } from '../../lib/contract/measures';
import { fieldsOf } from '../../lib/contract/fields';
import { measures } from '../../lib/contract/measures';
import { visitWindows, type VisitWindow } from '../../lib/contract/visitWindows';
import { fromVisitsAddress, toVisitsAddress } from '../../lib/contract/visitsAddress';
import { VisitsQuestion } from '../../lib/contract/visitsQuestion';

const usual = VisitsQuestion.parse({});
const important = { value: 12, instrument: 'TS-100', anchor: 'patients who called themselves somewhat better', population: 'anatomic totals, two years', source: 'A journal 2020' };

describe('the address of a question about visits', () => {
  it('is empty for the usual question, and an empty address asks it', () => {
    expect(toVisitsAddress(usual)).toBe('');
    expect(fromVisitsAddress('')).toEqual({ status: 'ok', question: usual });
  });

  it.each([
    { what: 'short against standard stems', question: { cohort: { role: 'humeral_stem' }, groups: ['short_stem', 'standard_stem'] }, address: 'role=humeral_stem&group=short_stem&group=standard_stem' },
    { what: 'one sign at two visits', question: { windows: ['2y', '5y'], measures: ['stem_adaptation'] }, address: 'visit=2y&visit=5y&measure=stem_adaptation' },
    {
      what: 'an important difference with all that it needs', question: { importantDifference: important },
      address: 'important=12&important-in=score_total&important-instrument=TS-100&important-anchor=patients+who+called+themselves+somewhat+better&important-population=anatomic+totals%2C+two+years&important-source=A+journal+2020',
    },
  ])('says $what and is read back', ({ question, address }) => {
    const asked = VisitsQuestion.parse(question);
    expect(toVisitsAddress(asked)).toBe(address);
    expect(fromVisitsAddress(address)).toEqual({ status: 'ok', question: asked });
  });

  it.each([
    ['visit=18m', '“visit” in the address'],
    ['measure=happiness', '“measure” in the address'],
    ['important=12', '“important-instrument” in the address'], // no important difference without where it comes from
    ['important=12&important-in=tendon&important-instrument=a&important-anchor=b&important-population=c&important-source=d', '“important-in” in the address'],
    ['landmark=5&landmark=1', '“landmark” in the address'],
    ['procedure=P1', '“procedure” is not a parameter of the address.'],
  ])('refuses %s', (address, problem) => {
    const asked = fromVisitsAddress(address);
    expect(asked.status === 'refused' && asked.problems.some((p) => p.startsWith(problem)), JSON.stringify(asked)).toBe(true);
  });

  it('brings back whatever was asked', () => {
    fc.assert(fc.property(
      fc.subarray(visitWindows.map(({ code }) => code)), fc.subarray([...measureNames]), fc.uniqueArray(fc.integer({ min: 1, max: 15 }), { minLength: 1, maxLength: 5 }),
      fc.option(fc.constant(important)), fc.constantFrom('none', 'patient', 'hospital', 'surgeon'),
      (windows, asked, years, importantDifference, cluster) => {
        const question = VisitsQuestion.parse({ windows, measures: asked, landmarkYears: years.sort((a, b) => a - b), importantDifference, cluster });
        expect(fromVisitsAddress(toVisitsAddress(question))).toEqual({ status: 'ok', question });
      },
    ));
  });
});

describe('what can be asked', () => {
  it('is of fields that the table has, each name once', () => {
    const fields = fieldsOf('followups').map(({ name }) => name);
    for (const measure of measures) expect(fields).toEqual(expect.arrayContaining(measure.kind === 'zones' ? [...measure.fields] : [measure.field]));
    expect(new Set(measureNames).size).toBe(measureNames.length);
  });

  it('every day after the operation belongs to one visit at most, and the planned day to its own', () => {
    const [before, ...after] = visitWindows as readonly VisitWindow[];
    expect([before!.from, before!.to]).toEqual([-365, 0]);
    after.forEach((w, i) => {
      expect(w.from <= w.day && w.day <= w.to).toBe(true);
      if (i > 0) expect(w.from).toBe(after[i - 1]!.to + 1);
    });
  });
});
