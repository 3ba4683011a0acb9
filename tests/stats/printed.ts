import type { Rows } from './rows';

/** Times in print: `6` an event, `6+` censored. */
export function inPrint(times: string): { exit: number[]; event: number[] } {
  const list = times.split(' ');
  return { exit: list.map((t) => parseInt(t, 10)), event: list.map((t) => (t.endsWith('+') ? 0 : 1)) };
}

// Freireich et al. 1963, Blood 21:699: weeks of remission on 6-MP and on placebo.
export const mercaptopurine = inPrint('6 6 6 6+ 7 9+ 10 10+ 11+ 13 16 17+ 19+ 20+ 22 23 25+ 32+ 32+ 34+ 35+');
export const placebo = inPrint('1 1 2 2 3 4 4 5 5 8 8 8 8 11 11 12 12 15 17 22 23');

// Miller 1981, Survival Analysis: weeks to relapse of acute myeloid leukaemia with and without maintenance.
export const maintained = inPrint('9 13 13+ 18 23 28+ 31 34 45+ 48 161+');
export const notMaintained = inPrint('5 5 8 8 12 16+ 23 27 30 33 43 45');

/** Two arms one after the other, with the group of each row, 0 and 1. */
export function arms(first: Rows, second: Rows) {
  return {
    exit: [...first.exit, ...second.exit],
    event: [...first.event, ...second.event],
    group: Int32Array.from([...first.exit.map(() => 0), ...second.exit.map(() => 1)]),
  };
}

// Therneau & Grambsch 2000, Modeling Survival Data, appendix E: data sets 1 and 2, worked by hand there
// and in the validation vignette of the R package survival.
export const dataSet1 = { exit: [1, 1, 6, 6, 8, 9], event: [1, 0, 1, 1, 0, 1], x: [1, 1, 1, 0, 0, 0] };
export const dataSet2 = {
  entry: [1, 2, 5, 2, 1, 7, 3, 4, 8, 8],
  exit: [2, 3, 6, 7, 8, 9, 9, 9, 14, 17],
  event: [1, 1, 1, 1, 1, 1, 1, 0, 0, 0],
  x: [1, 0, 0, 1, 0, 1, 1, 1, 0, 0],
};
