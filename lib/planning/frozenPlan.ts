import { z } from 'zod';
import { hashOf } from '../contract/canonical';
import { StudyPlan } from '../contract/studyPlan';

/** What was loaded when a plan was frozen. */
const KnownData = z.strictObject({ registry: z.string().max(120), version: z.string().max(64), closingDate: z.iso.date(), fingerprint: z.string().regex(/^[0-9a-f]{64}$/) });
export type KnownData = z.infer<typeof KnownData>;

const Frozen = z.strictObject({
  frozenPlan: z.literal(1), // version of this form
  plan: StudyPlan,
  frozenAt: z.iso.datetime(), // by the clock of the machine
  loaded: KnownData.nullable(), // null: no data
  hash: z.string().regex(/^[0-9a-f]{64}$/), // of the rest
});
/** A plan that was fixed before its results. The hash tells that it was not changed since; it can't tell who wrote it, or that the clock was right. */
export type FrozenPlan = z.infer<typeof Frozen>;

export async function freeze(plan: StudyPlan, loaded: KnownData | null, at: Date): Promise<FrozenPlan> {
  const content = { frozenPlan: 1, plan: StudyPlan.parse(plan), frozenAt: at.toISOString(), loaded } as const;
  return { ...content, hash: await hashOf(content) };
}

export type ReadPlan = { readonly status: 'whole'; readonly frozen: FrozenPlan } | { readonly status: 'refused'; readonly reason: string };

/** Reads a frozen plan from the text of its file, and refuses one that was changed. */
export async function readFrozenPlan(text: string): Promise<ReadPlan> {
  let json: unknown;
  try {
    json = JSON.parse(text);
  } catch {
    return { status: 'refused', reason: 'this is no JSON' };
  }
  const parsed = Frozen.safeParse(json);
  if (!parsed.success) {
    const issue = parsed.error.issues[0];
    return { status: 'refused', reason: `this is no frozen plan: ${issue?.path.join('.') ?? ''} ${issue?.message ?? ''}`.trim() };
  }
  const { hash, ...content } = parsed.data, now = await hashOf(content);
  return now === hash ? { status: 'whole', frozen: parsed.data } : { status: 'refused', reason: `the plan was changed after it was frozen: its hash is ${now}, the file says ${hash}` };
}

/** How a frozen plan stands to the data that are loaded now. */
export function standing({ frozenAt, loaded }: FrozenPlan, now: KnownData): 'beforeTheData' | 'anEarlierVersion' | 'theSameData' {
  if (loaded?.fingerprint === now.fingerprint) return 'theSameData';
  return now.closingDate > frozenAt.slice(0, 10) && (loaded === null || loaded.closingDate < now.closingDate) ? 'beforeTheData' : 'anEarlierVersion';
}
