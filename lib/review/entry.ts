import { z } from 'zod';
import { checkResults, checkSteps } from './checks';
import { actions } from './decisions';
import { EvidenceSchema } from './evidenceSchema';
import { states } from './states';

/** SHA-256, hexadecimal. */
export const Hash = z.string().regex(/^[0-9a-f]{64}$/, 'must be a SHA-256 in hexadecimal');
const isTrimmed = (text: string) => text !== '' && text.trim() === text; // what is hashed is what was written, so nothing is trimmed here
const words = z.string().max(20_000).refine(isTrimmed, 'must not be empty, nor begin or end with a space');
const day = z.iso.date();

/** Kept as it was frozen, so that its hash can be had again; whatever cannot be drawn is refused. */
const Frozen = z.strictObject({
  evidence: z.unknown().superRefine((value, context) => {
    const checked = EvidenceSchema.safeParse(value);
    if (checked.success) return;
    for (const { path, message } of checked.error.issues) context.addIssue({ code: 'custom', path: [...path], message });
  }),
  evidenceHash: Hash,
});

export const topics = ['state', 'decision', 'nextLook'] as const;
/** What only one value can hold of, so that two written apart from each other are a conflict. */
export type Topic = (typeof topics)[number];

/** What can be written into a case. */
export const Body = z.discriminatedUnion('kind', [
  Frozen.extend({ kind: z.literal('opened') }),
  Frozen.extend({ kind: z.literal('evidenceAdded') }),
  z.strictObject({ kind: z.literal('check'), step: z.enum(checkSteps), result: z.enum(checkResults), words }),
  z.strictObject({ kind: z.literal('note'), words }),
  z.strictObject({ kind: z.literal('conflictOfInterest'), words }),
  z.strictObject({ kind: z.literal('letterSent'), to: words, replyBy: day, words }),
  z.strictObject({ kind: z.literal('reply'), words }),
  z.strictObject({ kind: z.literal('dissent'), words }),
  z.strictObject({ kind: z.literal('decision'), action: z.enum(actions), reasons: words }),
  z.strictObject({ kind: z.literal('nextLook'), date: day, words }),
  z.strictObject({ kind: z.literal('state'), to: z.enum(states), why: words }),
  z.strictObject({ kind: z.literal('merged'), settles: z.array(z.strictObject({ topic: z.enum(topics), stands: Hash, why: words })).min(1) }),
]);
export type Body = z.infer<typeof Body>;
export type Kind = Body['kind'];
export type BodyOf<K extends Kind> = Extract<Body, { readonly kind: K }>;

export const CaseId = z.uuid();

/** What is hashed: everything of an entry but its id. */
export const Draft = z.strictObject({
  case: CaseId,
  parents: z.array(Hash).refine((hashes) => hashes.every((hash, i) => i === 0 || hash > (hashes[i - 1] ?? '')), 'must ascend, each once'),
  at: z.iso.datetime({ precision: 3 }), // UTC
  role: words.max(80), // of the person: a role, never a name
  corrects: Hash.nullable(), // an earlier entry that this one puts right; both stay
  body: Body,
});
export type Draft = z.infer<typeof Draft>;

/** One thing that was done or said. Never changed, never removed: what is wrong is put right by a later entry. */
export const Entry = Draft.extend({ id: Hash });
export type Entry = z.infer<typeof Entry>;
