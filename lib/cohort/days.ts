export const daysPerYear = 365.25;

/** Years as whole days; half a day is rounded up. */
export const daysOfYears = (years: number): number => Math.round(years * daysPerYear);
