import type { Estimate } from '../../analysis/result';
import { formatDecimal } from '../format';

/** A difference with its sign: `−0.7`, `1.2`, `0.0`. */
export const signed = (value: number): string => (value < -0.05 ? `−${formatDecimal(-value)}` : formatDecimal(Math.abs(value)));

/** Limits that may be below 0. */
export const signedLimits = ({ lower, upper }: Estimate): string => `${signed(lower)} to ${signed(upper)}`;
