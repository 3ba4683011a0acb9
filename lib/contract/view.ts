import { z } from 'zod';

/** How an answer is shown. It changes no number. */
export const View = z.object({
  axis: z.enum(['years', 'days']).default('years'),
  spanYears: z.number().positive().max(30).nullable().default(null), // null: to the horizon
  bands: z.boolean().default(true),
  /** What the curves of percent revised make of deaths: they end follow-up, they compete with revision, or both curves side by side. */
  deaths: z.enum(['censored', 'competing', 'both']).default('censored'),
});
export type View = z.infer<typeof View>;
