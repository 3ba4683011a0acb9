import type { Design } from '../cells';

/** Which level of which column no procedure of a class has (or all have); else that the columns together tell the classes apart. */
export function separationReason({ names, values }: Pick<Design, 'names' | 'values'>, counts: Float64Array, classes: readonly string[], columns: readonly number[]): string {
  for (const j of columns) {
    const seen = classes.map(() => new Set<number>()), all = new Set<number>();
    counts.forEach((n, k) => {
      if (n === 0) return;
      const v = values[Math.floor(k / classes.length) * names.length + j]!;
      seen[k % classes.length]!.add(v);
      all.add(v);
    });
    if (all.size !== 2) continue;
    const [low, high] = [...all].sort((a, b) => a - b) as [number, number], indicator = low === 0 && high === 1;
    for (const [k, values] of seen.entries()) {
      if (values.size === 2) continue;
      const lacking = values.has(low) ? high : low;
      const which = indicator ? `${lacking === 1 ? 'with' : 'without'} ${names[j]!}` : `with ${names[j]!} = ${lacking}`;
      return `no procedures ${which} among those with ${classes[k]!}, so there is nothing to compare them with`;
    }
  }
  const bound = [...new Set(columns)].map((j) => names[j]!).join(', ');
  return `${bound} ${new Set(columns).size > 1 ? 'together tell' : 'tells'} ${classes.join(' from ')} without exception, so the groups have nothing in common to compare`;
}
