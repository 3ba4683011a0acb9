import { z } from 'zod';
import { groupKey, registryFile, smallest } from './registryFile';

const count = z.int().min(0).nullable(); // null: from 1 to `smallest` − 1
const reason = z.string().max(400);

/** One registry's own ratios: nothing of single procedures, for a meta-analysis. */
export const RegistryEstimates = z.strictObject({
  format: z.literal('registry-estimates'),
  ...registryFile,
  smallest,
  reference: groupKey,
  adjustedFor: z.array(z.string().max(80)), // labels
  groups: z.array(z.strictObject({ key: groupKey, procedures: count, events: count })), // in the fit
  ratios: z.array(z.discriminatedUnion('status', [ // of every group but the reference against it
    z.strictObject({ group: groupKey, status: z.literal('ok'), logRatio: z.number(), standardError: z.number().positive(), ownLimits: reason.optional() }), // why the standard error does not allow for the question's clusters
    z.strictObject({ group: groupKey, status: z.literal('notEstimable'), reason }),
    z.strictObject({ group: groupKey, status: z.literal('withheld'), reason }),
  ])),
});
export type RegistryEstimates = z.infer<typeof RegistryEstimates>;
