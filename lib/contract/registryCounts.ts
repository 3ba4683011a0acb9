import { z } from 'zod';
import { covariates, strataFactors } from './question';
import { groupKey, registryFile, smallest } from './registryFile';

const day = z.int().min(-1).max(40_000);
const position = z.int().min(0);

/** How the days of single procedures are protected. */
export const DayProtection = z.discriminatedUnion('days', [
  /** As recorded: the person who wrote the file said that the governance of the registry allows it. */
  z.strictObject({ days: z.literal('exact'), governanceAllows: z.literal(true) }),
  /** In steps of at least so many days, joined until no count is from 1 to `smallest` − 1. */
  z.strictObject({
    days: z.literal('coarse'),
    stepDays: z.int().min(1).max(3653),
    smallest,
    withheldGroups: z.array(groupKey), // with so few revisions, or ends of follow-up without one, that they can't be told
    droppedFactors: z.array(z.string().max(40)), // of the question; patterns with them would have been too small
    lateEntryLeftOut: z.int().min(0).nullable(), // procedures; null: fewer than `smallest`, but some
    /** The most by which estimates from this file differ from those of the exact days of the registry; null: not estimable. */
    effect: z.strictObject({ percentagePoints: z.number().min(0).nullable(), logHazardRatio: z.number().min(0).nullable() }),
  }),
]);
export type DayProtection = z.infer<typeof DayProtection>;

const Factor = z.strictObject({
  kind: z.enum(['adjust', 'strata']),
  name: z.enum([...new Set([...covariates, ...strataFactors])]),
  keys: z.array(z.string().min(1).max(64)), // of the levels that occur
  level: z.array(position.nullable()), // per pattern: which of the keys; null: not recorded
});

/**
 * One registry reduced to what curves and stratified Cox models need: how many procedures there are by group, pattern of covariates, time at
 * risk and whether it ended in the event of interest. Levels are named by their keys. Columns have an entry per pattern or per cell.
 */
export const RegistryCounts = z
  .strictObject({
    format: z.literal('registry-counts'),
    ...registryFile,
    protection: DayProtection,
    groups: z.array(groupKey), // keys
    patterns: z.strictObject({ group: z.array(position), factors: z.array(Factor) }),
    cells: z.strictObject({
      pattern: z.array(position),
      entry: z.array(day), // at risk after this day; −1: from the start
      after: z.array(day), // follow-up ended after this day …
      exit: z.array(day.min(0)), // … up to and including this one
      event: z.array(z.union([z.literal(0), z.literal(1)])), // 1: of interest
      count: z.array(z.int().min(1)),
    }),
  })
  .superRefine(({ groups, patterns, cells }, context) => {
    const refuse = (path: (string | number)[], message: string) => { context.addIssue({ code: 'custom', path, message }); };
    const size = cells.pattern.length, patternCount = patterns.group.length;
    for (const [name, column] of Object.entries(cells)) if (column.length !== size) refuse(['cells', name], `must have an entry for each of the ${size} cells; has ${column.length}`);
    patterns.group.forEach((group, p) => { if (group >= groups.length) refuse(['patterns', 'group', p], `there are ${groups.length} groups`); });
    patterns.factors.forEach(({ level, keys }, f) => {
      if (level.length !== patternCount) refuse(['patterns', 'factors', f, 'level'], `must have an entry for each of the ${patternCount} patterns; has ${level.length}`);
      level.forEach((at, p) => { if (at !== null && at >= keys.length) refuse(['patterns', 'factors', f, 'level', p], `there are ${keys.length} keys`); });
    });
    for (let i = 0; i < size; ++i) {
      const { [i]: entry = -1 } = cells.entry, { [i]: after = -1 } = cells.after, { [i]: exit = 0 } = cells.exit;
      if ((cells.pattern[i] ?? 0) >= patternCount) refuse(['cells', 'pattern', i], `there are ${patternCount} patterns`);
      if (after >= exit) refuse(['cells', 'after', i], `must be before the exit (${exit})`);
      if (entry >= exit) refuse(['cells', 'entry', i], `must be before the exit (${exit})`);
    }
  });
export type RegistryCounts = z.infer<typeof RegistryCounts>;
