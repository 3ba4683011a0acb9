import { VaultError } from '../../lib/vault/vaultError';

const size = new Intl.NumberFormat('en-GB', { maximumSignificantDigits: 3 });

/** Bytes in words: 1.2 GB. */
export function sizeWords(bytes: number): string {
  for (const [unit, many] of [['GB', 1e9], ['MB', 1e6], ['kB', 1e3]] as const) if (bytes >= many) return `${size.format(bytes / many)} ${unit}`;
  return `${bytes} bytes`;
}

const overhead = 1.02, least = 100_000; // keys, tags and the browser's own book-keeping

/** Why there is no room for so many bytes more; null: there is, as far as the browser tells. */
export async function roomProblem(bytes: number): Promise<string | null> {
  const { quota, usage } = await navigator.storage.estimate();
  if (quota === undefined || usage === undefined) return null;
  const needed = Math.ceil(bytes * overhead) + least, free = Math.max(0, quota - usage);
  return needed <= free ? null
    : `Keeping this needs about ${sizeWords(needed)}, and the browser has ${sizeWords(free)} left for this site. Free some space on the disk, or keep less: as Parquet or as a zip an extract is much smaller.`;
}

/** Why it was not done, in finished sentences. */
export function failureWords(error: unknown): string {
  const stays = 'What was kept before is as it was.';
  if (error instanceof VaultError) return `${sentence(error.message)} ${error.kind === 'changed' ? 'Nothing was written.' : 'It cannot be read; it can be removed, and kept anew from your own files.'}`;
  const name = error instanceof Error || error instanceof DOMException ? error.name : '';
  if (name === 'QuotaExceededError') return `The disk, or the browser’s share of it, is full. ${stays}`;
  if (name === 'NotReadableError' || name === 'NotFoundError') return `A file was moved or changed since it was chosen, so that it can no longer be read: choose it again. ${stays}`;
  if (name === 'AbortError') return `It was ended before it was done. ${stays}`;
  return `${sentence(error instanceof Error ? error.message : String(error))} ${stays}`;
}

const sentence = (text: string): string => `${text.charAt(0).toUpperCase()}${text.slice(1)}${/[.!?]$/.test(text) ? '' : '.'}`;
