/** What may not be recorded of a first revision, as bits of a number. */
export const outcomeGap = { kind: 1, reason: 2, removed: 4 } as const;

/** SQL of the sum of what is not recorded, null where there was no revision. */
export const outcomeGapsCode = `CASE WHEN ending = 'revision' THEN (kind IS NOT DISTINCT FROM 'unspecified')::INTEGER
  + ${outcomeGap.reason} * (reason IS NULL)::INTEGER + ${outcomeGap.removed} * (removed IS NOT DISTINCT FROM 0)::INTEGER END`;
