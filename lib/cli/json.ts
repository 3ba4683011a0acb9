/** JSON at full double precision. Typed arrays become arrays; NaN and the infinities, which JSON lacks, become null. */
export const toJson = (value: unknown): string =>
  JSON.stringify(value, (_, item: unknown) => (ArrayBuffer.isView(item) ? Array.from(item as Float64Array) : item), 2);
