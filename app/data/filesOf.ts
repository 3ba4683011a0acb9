import type { DropItem } from 'react-aria-components';

/** All files that were dropped, those in folders too. */
export async function filesOf(items: readonly DropItem[]): Promise<readonly File[]> {
  const found = await Promise.all(items.map(async (item): Promise<readonly File[]> => {
    if (item.kind === 'file') return [await item.getFile()];
    if (item.kind === 'text') return [];
    const inside: DropItem[] = [];
    for await (const entry of item.getEntries()) inside.push(entry);
    return filesOf(inside);
  }));
  return found.flat();
}
