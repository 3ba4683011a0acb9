/** `count` of `of` records, patients …: whole numbers, 0 ≤ count ≤ of. */
export interface Share { readonly count: number; readonly of: number }

/** Percent, 0–100; NaN of none. */
export const percentOf = ({ count, of }: Share): number => (of === 0 ? NaN : (100 * count) / of);

export const addedUp = (shares: readonly Share[]): Share =>
  shares.reduce<Share>((sum, { count, of }) => ({ count: sum.count + count, of: sum.of + of }), { count: 0, of: 0 });
