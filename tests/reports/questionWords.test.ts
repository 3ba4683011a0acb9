import { describe, expect, it } from 'vitest';
import { comparisonFactor } from '@/lib/cohort/comparison';
import { withComparison, withGroups, withRole } from '@/lib/contract/editQuestion';
import { Question } from '@/lib/contract/question';
import { questionSentence, questionWords } from '@/lib/reports/questionWords';

const oneModel = Question.parse({
  cohort: { role: 'glenoid', designs: ['all_poly_pegged'], exceptModels: ['G-20'] }, compare: 'model', groups: ['G-10'], withOthers: true,
});
const sentence = (question: Question) => questionSentence(question, comparisonFactor(question).labelOf);

describe('the question in words', () => {
  it('holds one model against all others, and names what is left out', () => {
    expect(sentence(oneModel)).toBe('Among all replacements of the shoulder for any indication, in women and men of any age, operated in any year, '
      + 'with all-polyethylene pegged; without G-20: how do models of the glenoid component compare (G-10 against all others as one group), '
      + 'adjusted for nothing, counting revision for any reason, within 10 years?');
  });

  it.each([
    { what: 'one', exceptModels: ['G-1'], words: 'without G-1' },
    { what: 'three', exceptModels: ['G-1', 'G-2', 'G-3'], words: 'without G-1, G-2 and G-3' },
    { what: 'many', exceptModels: ['G-1', 'G-2', 'G-3', 'G-4'], words: 'without 4 chosen models' },
  ])('models left out: $what', ({ exceptModels, words }) => {
    expect(questionWords(Question.parse({ cohort: { exceptModels } }), (key) => key).implants).toBe(words);
  });
});

describe('changing a question keeps it one that can be asked', () => {
  const others = { ...oneModel, reference: 'others' };
  it.each([
    { what: 'another model', changed: withGroups(others, ['G-30']), left: { groups: ['G-30'], withOthers: true, reference: 'others' } },
    { what: 'no model named', changed: withGroups(others, []), left: { groups: [], withOthers: false, reference: null } },
    { what: 'no others', changed: withGroups(others, ['G-10'], false), left: { groups: ['G-10'], withOthers: false, reference: null } },
    { what: 'another comparison', changed: withComparison(others, 'design'), left: { groups: [], withOthers: false, reference: null } },
    { what: 'another component', changed: withRole(others, 'humeral_stem'), left: { groups: [], withOthers: false, cohort: { exceptModels: [], designs: [] } } },
  ])('$what', ({ changed, left }) => {
    expect(Question.parse(changed)).toMatchObject(left);
  });
});
