/** What may leave: the smallest count of people that does, and the number that counts are rounded to multiples of. */
export interface Policy {
  readonly smallest: number; // 1 and more; 1: no count is held back
  readonly rounding: Rounding;
}
export const roundings = [1, 5, 10] as const;
/** 1: not rounded. */
export type Rounding = (typeof roundings)[number];

export const usualSmallest = 5; // common practice in health statistics, no source
export const usualPolicy: Policy = { smallest: usualSmallest, rounding: 1 };

let policy = usualPolicy;

/** Reports are built by the policy that is in force while they are. */
export const policyInForce = (): Policy => policy;

export function putInForce({ smallest, rounding }: Policy): void {
  if (!Number.isInteger(smallest) || smallest < 1) throw new RangeError(`the smallest count that may leave must be a whole number of at least 1: ${smallest}`);
  policy = { smallest, rounding };
}

/** Builds something by another policy than the one in force. */
export function under<R>(other: Policy, build: () => R): R {
  const before = policy;
  putInForce(other);
  try {
    return build();
  } finally {
    policy = before;
  }
}
