/** Round steps of 1, 2 or 5 times a power of ten. */
const roundStep = (least: number): number => {
  const power = 10 ** Math.floor(Math.log10(least));
  return power * ([1, 2, 5, 10].find((factor) => factor * power >= least * (1 - 1e-9)) ?? 10);
};

/** Ascending round values from 0 that cover `largest`, about `wanted` of them. */
export function ticksFromZero(largest: number, wanted: number): readonly number[] {
  const step = roundStep(Math.max(largest, 1e-6) / wanted);
  const size = Math.ceil(largest / step - 1e-9);
  return Array.from({ length: Math.max(size, 1) + 1 }, (_, i) => Number((i * step).toPrecision(12)));
}

/** Ticks of a ratio on a logarithmic axis, 1 among them, that cover both ends. */
export function ratioTicks(smallest: number, largest: number): readonly number[] {
  const steps = [0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100];
  const from = steps.findLastIndex((s) => s <= Math.min(smallest, 0.5)), to = steps.findIndex((s) => s >= Math.max(largest, 2));
  return steps.slice(Math.max(from, 0), to < 0 ? steps.length : to + 1);
}
