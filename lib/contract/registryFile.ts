import { z } from 'zod';
import { Question } from './question';

const hash = z.string().regex(/^[0-9a-f]{64}$/, 'must be a SHA-256 in hexadecimal');

/** What every file says that a registry sends to a consortium. */
export const registryFile = {
  version: z.literal(1, 'must be 1, the only version there is'),
  question: Question,
  questionHash: hash, // of the question's canonical JSON
  source: z.strictObject({
    registry: z.string().min(1).max(120),
    version: z.string().max(64),
    opened: z.iso.date(),
    closingDate: z.iso.date(),
    fingerprint: hash,
  }),
  holds: z.array(z.string().max(400)).min(1), // finished sentences for whoever decides whether it may leave
  hash, // of the rest
};

export const smallest = z.int().min(1).max(999_999);
export const groupKey = z.string().min(1).max(64);
