/** Where `found` lacks something of `wanted` or has it otherwise, numbers to `tolerance` relative; what it has besides is passed over. */
export function differences(wanted: unknown, found: unknown, tolerance: number, at = 'value'): readonly string[] {
  if (typeof wanted === 'number' && typeof found === 'number') {
    const close = Math.abs(wanted - found) <= tolerance * Math.max(Math.abs(wanted), 1e-12);
    return close ? [] : [`${at}: wanted ${wanted}, found ${found}`];
  }
  if (Array.isArray(wanted) && Array.isArray(found)) {
    if (wanted.length !== found.length) return [`${at}: wanted ${wanted.length} entries, found ${found.length}`];
    return wanted.flatMap((value, i) => differences(value, found[i], tolerance, `${at}[${i}]`));
  }
  if (isObject(wanted) && isObject(found)) {
    return Object.entries(wanted).flatMap(([key, value]) => differences(value, found[key], tolerance, `${at}.${key}`));
  }
  return wanted === found ? [] : [`${at}: wanted ${JSON.stringify(wanted)}, found ${JSON.stringify(found)}`];
}

const isObject = (value: unknown): value is Record<string, unknown> => typeof value === 'object' && value !== null && !Array.isArray(value);
