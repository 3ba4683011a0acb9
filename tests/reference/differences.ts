const relative = 1e-10; // platforms round differently
const nothing = 1e-13; // and zeros come out as rounding

/** Where two JSON values differ, one line a place: names, order and structure exactly, numbers to 1e-10 relative. */
export function differences(recorded: unknown, now: unknown, path = ''): string[] {
  const at = path === '' ? 'value' : path;
  if (typeof recorded === 'number' && typeof now === 'number') {
    const close = Math.abs(recorded - now) <= Math.max(nothing, relative * Math.max(Math.abs(recorded), Math.abs(now)));
    return close ? [] : [`${at}: recorded ${recorded}, now ${now}`];
  }
  if (Array.isArray(recorded) && Array.isArray(now)) {
    if (recorded.length !== now.length) return [`${at}: recorded ${recorded.length} entries, now ${now.length}`];
    return recorded.flatMap((value, k) => differences(value, now[k], `${path}[${k}]`));
  }
  if (isObject(recorded) && isObject(now)) {
    const missing = Object.keys(recorded).filter((key) => !(key in now)), added = Object.keys(now).filter((key) => !(key in recorded));
    const shared = Object.keys(recorded).filter((key) => key in now);
    return [
      ...missing.map((key) => `${at}: recorded ${key}, now missing`),
      ...added.map((key) => `${at}: ${key} was not recorded`),
      ...shared.flatMap((key) => differences(recorded[key], now[key], path === '' ? key : `${path}.${key}`)),
    ];
  }
  return recorded === now ? [] : [`${at}: recorded ${JSON.stringify(recorded)}, now ${JSON.stringify(now)}`];
}

const isObject = (value: unknown): value is Record<string, unknown> => typeof value === 'object' && value !== null && !Array.isArray(value);
