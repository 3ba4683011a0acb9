import type { TextLayout } from '../contract/mapping';
import type { ExtractFile } from './extractFile';
import type { FoundSource, Inspection } from './inspection';
import { problem, Refusal } from './refusal';
import { inspectText } from './text/inspectText';
import { unpack, type Unpacked, type UnpackedFile } from './unpack';

/** Looks at all files. A file that can't be read is told among the problems, and the others stay. Throws the signal's reason when aborted. */
export async function inspect(given: readonly ExtractFile[], signal: AbortSignal): Promise<Inspection> {
  return inspectUnpacked(await unpack(given, signal), signal);
}

/** @param unpacked what `unpack` gave; kept by who will look again with a corrected layout */
export async function inspectUnpacked({ files, problems }: Unpacked, signal: AbortSignal): Promise<Inspection> {
  const sources: FoundSource[] = [], messages = problems.map(({ message }) => message);
  for (const file of files) {
    signal.throwIfAborted();
    try {
      sources.push(...await lookInto(file, signal));
    } catch (error) {
      if (!(error instanceof Refusal)) throw error;
      messages.push(...error.problems.map(({ message }) => message));
    }
  }
  return { sources, problems: messages };
}

/** Looks again at a text file with a layout that the person set. Throws a Refusal where that gives no table. */
export async function inspectSource({ files }: Unpacked, name: string, layout: TextLayout, signal: AbortSignal): Promise<FoundSource> {
  const file = files.find((each) => each.name === name && each.format === 'text');
  if (file === undefined) throw new Refusal([problem('no_such_file', 'there is no text file of this name', { file: name })]);
  return inspectText(file, signal, layout);
}

async function lookInto(file: UnpackedFile, signal: AbortSignal): Promise<readonly FoundSource[]> {
  if (file.format === 'text') return [await inspectText(file, signal)];
  return (await import('./binary/inspectRows')).inspectRows(file, signal);
}
