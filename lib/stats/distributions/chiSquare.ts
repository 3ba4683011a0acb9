import { gammaTails } from './incompleteGamma';

/** Pr(χ² > x) on df degrees of freedom: 0 only where it is below the smallest double. */
export const chiSquareUpperTail = (x: number, df: number): number => gammaTails(df / 2, x / 2).upper;
