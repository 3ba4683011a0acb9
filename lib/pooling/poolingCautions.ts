import type { RegistryCounts } from '../contract/registryCounts';

/** What a reader of pooled numbers must know of the files. */
export function poolingCautions(files: readonly RegistryCounts[]): readonly string[] {
  const coarse = files.flatMap(({ source, protection }) => (protection.days === 'coarse' ? [{ registry: source.registry, ...protection }] : []));
  const most = (of: 'percentagePoints' | 'logHazardRatio'): number | null => coarse.reduce<number | null>((so, { effect }) => (effect[of] === null ? so : Math.max(so ?? 0, effect[of])), null);
  const days = [...new Set(files.map(({ source }) => source.closingDate))], ratio = most('logHazardRatio'), points = most('percentagePoints');
  const { cluster } = files[0]!.question;
  return [
    'Registries differ in coverage, in who is operated and in what they record. A ratio within registries allows for none of that but what it is adjusted for.',
    ...(cluster === 'none' ? [] : [`The question asks for limits that allow for procedures of one ${cluster} being alike. No file tells which these are: the limits take every procedure as independent and may be too narrow.`]),
    ...(files.length < 2 ? ['There is one registry only: nothing is pooled.'] : []),
    ...(days.length < 2 ? [] : [`The registries closed on different days, from ${[...days].sort()[0]!} to ${[...days].sort().at(-1)!}: the latest years are those of some of them.`]),
    ...(coarse.length === 0 ? [] : [`Days are coarse in ${coarse.length} of ${files.length} files: percentages at the times asked for lie within “bounds”; each registry measured against its own exact days ${points === null ? 'could not be held against them' : `a shift of at most ${points} percentage points`}${ratio === null ? '' : ` and of at most ${ratio} in the logarithm of any ratio`}, which to first order bounds the shift of the pooled ratio.`]),
    ...coarse.filter(({ lateEntryLeftOut }) => lateEntryLeftOut !== 0).map(({ registry, lateEntryLeftOut, smallest }) => `${registry} left out ${lateEntryLeftOut ?? `fewer than ${smallest}`} procedures that came under observation late.`),
  ];
}
