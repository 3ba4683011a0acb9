import { describe, expect, it } from 'vitest';
import { parsed } from '@/lib/cli/questionFile';
import { Question } from '@/lib/contract/question';
import { UnitsQuestion } from '@/lib/contract/unitsQuestion';

describe('a question in a file', () => {
  it('has the usual values for what it leaves out', () => {
    expect(parsed(Question, 'q.json', '{ "compare": "sex" }')).toEqual(Question.parse({ compare: 'sex' }));
  });

  it.each([
    ['{ "compare": ', 'q.json: not JSON: '],
    ['[]', 'q.json: Invalid input: expected object, received array: []'],
    ['{ "adust": ["age"] }', 'q.json: Unrecognized key: "adust": {"adust":["age"]}'],
    ['{ "cohort": { "minAge": 80, "maxAge": 60 } }', 'q.json: cohort.minAge: minAge must not be above maxAge: 80'],
    ['{ "adjust": ["age", "weight"] }', 'q.json: adjust.1: Invalid option: expected one of '],
    ['{ "horizonYears": 1.5 }', 'q.json: horizonYears: Invalid input: expected int, received number: 1.5'],
    ['{ "cutYears": [2, 0.5] }', 'q.json: cutYears: cutYears must ascend: [2,0.5]'],
  ])('that is %s is refused by field, rule and value', (text, message) => {
    expect(() => parsed(Question, 'q.json', text)).toThrow(message);
  });

  it('about hospitals has usual values, too, and its benchmark a source', () => {
    expect(parsed(UnitsQuestion, 'u.json', '{}')).toEqual(UnitsQuestion.parse({}));
    expect(() => parsed(UnitsQuestion, 'u.json', '{ "benchmark": { "percent": 5, "margin": 1, "atYears": 10, "joint": "hip", "source": "", "setIn": 2014 } }'))
      .toThrow('u.json: benchmark.source: Too small');
  });
});
