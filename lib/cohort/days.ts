/** Years as whole days, at 365.25 days a year; half a day is rounded up. */
export const daysOfYears = (years: number): number => Math.round(years * 365.25);
