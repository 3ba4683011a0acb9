import { describe, expect, it } from 'vitest';
import { StudyPlan } from '@/lib/contract/studyPlan';
import { freeze, readFrozenPlan, standing } from '@/lib/planning/frozenPlan';

const plan = StudyPlan.parse({
  plan: 1, title: 'Short or standard stem', assignment: 'observed', arms: [{ label: 'short' }, { label: 'standard' }], endPoint: { kind: 'proportion', shares: [0.3, 0.5] },
});
const loaded = { registry: 'An invented registry', version: 'v1', closingDate: '2024-12-31', fingerprint: 'a'.repeat(64) };
const later = { ...loaded, version: 'v2', closingDate: '2026-12-31', fingerprint: 'b'.repeat(64) };
const at = new Date('2025-06-01T09:30:00Z');

describe('a plan frozen before its results', () => {
  it('comes back from its file as it was', async () => {
    const frozen = await freeze(plan, loaded, at);
    expect(await readFrozenPlan(JSON.stringify(frozen, null, 2))).toEqual({ status: 'whole', frozen });
  });
  it('one changed number is refused', async () => {
    const text = JSON.stringify(await freeze(plan, null, at)).replace('0.5]', '0.6]');
    expect(await readFrozenPlan(text)).toMatchObject({ status: 'refused', reason: expect.stringContaining('was changed after it was frozen') as string });
  });
  it.each([['{', 'this is no JSON'], ['{"frozenPlan":2}', 'this is no frozen plan']])('%s is refused', async (text, reason) => {
    expect(await readFrozenPlan(text)).toMatchObject({ status: 'refused', reason: expect.stringContaining(reason) as string });
  });
  it('says how it stands to the data that are loaded', async () => {
    const frozen = await freeze(plan, loaded, at);
    expect(standing(frozen, loaded)).toBe('theSameData');
    expect(standing(frozen, later)).toBe('beforeTheData');
    expect(standing(frozen, { ...later, closingDate: '2025-01-31' })).toBe('anEarlierVersion'); // its data end before the plan was frozen
  });
});
