import { z } from 'zod';
import { Cell, type Failed } from './timing';

const times = z.record(z.string(), Cell), numbers = z.array(z.number().nullable());

/** Estimates of one engine, to be held against another's; in the order of the groups, the columns and the terms. */
export const Estimates = z.object({
  curves: numbers, // percent revised with limits, and the number at risk, of each group at each time
  coefficients: numbers,
  proportionalHazards: numbers, // χ² of each term, and of all
  many: numbers, // coefficients
});
export type Estimates = z.infer<typeof Estimates>;

/** What one process measured. Memory in bytes. */
export const InNode = z.object({
  loadSeconds: z.number(), loadPeak: z.number(), peak: z.number(),
  counted: z.record(z.string(), z.number()), // procedures, cells, patterns …
  times, estimates: Estimates,
});
export type InNode = z.infer<typeof InNode>;

export const InR = z.object({ version: z.string(), peak: z.number(), times, estimates: Estimates });
export type InR = z.infer<typeof InR>;

export const InChromium = z.object({
  version: z.string(),
  loadSeconds: z.number(), peak: z.number(),
  longestTask: z.number(), longestIn: z.string(), // ms on the page's thread while questions were asked, and in which part of `times`
  times,
});
export type InChromium = z.infer<typeof InChromium>;

export const FirstView = z.object({ cold: Cell, warm: Cell, wholeCold: Cell, wholeWarm: Cell });
export type FirstView = z.infer<typeof FirstView>;

/** All that is known of one size. `load`: load average of the machine at its beginning. */
export interface OfSize { readonly size: number; readonly load: number; readonly node: InNode | Failed; readonly r: InR | Failed; readonly chromium: InChromium | Failed }
