import type { ExtractFile } from '../../lib/intake/extractFile';
import { inspectSource, inspectUnpacked } from '../../lib/intake/inspect';
import { Refusal } from '../../lib/intake/refusal';
import { unpack, type Unpacked } from '../../lib/intake/unpack';
import type { Workbench } from './workbench';

export const extractFile = (file: File): ExtractFile => ({ name: file.webkitRelativePath === '' ? file.name : file.webkitRelativePath, content: file });

/**
 * Looking into a person's files before they are loaded. A look at other files ends one that goes on.
 * @param onSeen hears when there is something to be loaded
 */
export function inspectionAnswers(onSeen: () => void): Pick<Workbench, 'inspect' | 'inspectSource'> {
  let looking = new AbortController();
  let unpacked: Unpacked = { files: [], problems: [] };
  return {
    inspect: async (files) => {
      looking.abort(new Error('other files were chosen'));
      const { signal } = looking = new AbortController();
      const found = await unpack(files.map(extractFile), signal);
      const inspection = await inspectUnpacked(found, signal);
      unpacked = found;
      if (inspection.sources.length > 0) onSeen();
      return inspection;
    },
    inspectSource: async (file, layout) => {
      try {
        return { sources: [await inspectSource(unpacked, file, layout, looking.signal)], problems: [] };
      } catch (error) {
        if (error instanceof Refusal) return { sources: [], problems: error.problems.map(({ message }) => message) };
        throw error;
      }
    },
  };
}
