export const msPerDay = 86_400_000;

/** Days from 1970-01-01 to a date of ISO 8601. */
export const dayOf = (date: string): number => Math.round(Date.parse(`${date}T00:00:00Z`) / msPerDay);

/** The date, ISO 8601, so many days after 1970-01-01. */
export const dateOf = (day: number): string => new Date(day * msPerDay).toISOString().slice(0, 10);
