import { collectBlob } from './collectBlob';
import type { ExtractFile } from './extractFile';
import { problem, Refusal, refuse } from './refusal';
import { looksLikeBomb } from './unzip';

/** Unpacks a gzip file (RFC 1952); its name loses `.gz`. Throws a Refusal where it is damaged, cut short or grows without measure. */
export async function gunzip(file: ExtractFile, signal: AbortSignal): Promise<ExtractFile> {
  const { sink, blob } = collectBlob((size) => {
    if (looksLikeBomb(size, file.content.size)) refuse('gzip_too_large', 'the file grows to more than 200 times its packed size: this looks like a bomb of data', { file: file.name });
  });
  try {
    await file.content.stream().pipeThrough(new DecompressionStream('gzip')).pipeTo(sink, { signal });
  } catch (error) {
    signal.throwIfAborted();
    if (error instanceof Refusal) throw error;
    throw new Refusal([problem('corrupt_gzip', `the gzip file is damaged or cut short (${error instanceof Error ? error.message : String(error)})`, { file: file.name })]);
  }
  return { name: file.name.replace(/\.gz(ip)?$/i, ''), content: blob() };
}
