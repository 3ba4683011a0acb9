'use client';
import { useEffect, useMemo, useRef, useState } from 'react';
import type { Mapping, TextLayout } from '../../../lib/contract/mapping';
import type { FoundSource } from '../../../lib/intake/inspection';
import { suggestMapping } from '../../../lib/intake/suggest/suggestMapping';
import type { MappingProblem } from '../../../lib/intake/suggestion';
import { problemsOf } from '../../../lib/reports/importing/check';
import { emptyDraft, layoutsWanted, withInspection, withoutGone, type Draft } from '../../../lib/reports/importing/draft';
import { neededPoints, openPoints, steps, type OpenPoint } from '../../../lib/reports/importing/openPoints';
import { useWorkbench } from '../../shell/WorkbenchProvider';

interface Brought {
  readonly files: readonly File[];
  readonly layouts: Readonly<Record<string, TextLayout>>; // by the name of the file: what the person says against what was found
  readonly problems: readonly string[]; // files that could not be read
  readonly draft: Draft;
  readonly wasLoaded: boolean; // the load that was asked for last was asked for here
}

export interface Importing extends Brought {
  readonly isLooking: boolean;
  readonly open: readonly OpenPoint[];
  readonly mappingProblems: readonly MappingProblem[]; // by the paths of the draft
  readonly addFiles: (files: readonly File[]) => void;
  readonly removeFile: (file: File) => void;
  readonly relayout: (source: FoundSource, layout: TextLayout) => void;
  /** @param settled what the person has thereby said. */
  readonly change: (mapping: Mapping, ...settled: readonly string[]) => void;
  readonly settle: (...keys: readonly string[]) => void;
  readonly openMapping: (mapping: Mapping) => void;
  readonly noteLoad: () => void;
  readonly startAgain: () => void;
}

const nothing: Brought = { files: [], layouts: {}, problems: [], draft: emptyDraft, wasLoaded: false };
let kept = nothing; // for as long as the site is open, stored nowhere: coming back to the page brings back what was said

export const nameOf = (file: File): string => (file.webkitRelativePath === '' ? file.name : file.webkitRelativePath);
const messageOf = (error: unknown): string => (error instanceof Error ? error.message : String(error));

/** The files that a person brought, and the mapping in the making. */
export function useImport(): Importing {
  const { worker } = useWorkbench();
  const [state, setState] = useState(kept);
  const [isLooking, setLooking] = useState(false);
  const newest = useRef<object>(null);
  useEffect(() => () => { newest.current = null; }, []);
  const update = (part: Partial<Brought>) => { setState(kept = { ...kept, ...part }); };

  /** Looks at the first rows of all files anew. */
  const look = (files: readonly File[], layouts: Brought['layouts']) => {
    if (worker === null) return;
    const mine = newest.current = {};
    const isMine = () => newest.current === mine;
    setLooking(true);
    const inspected = async () => {
      const { sources, problems } = await worker.inspect(files);
      const again = await Promise.all(sources.map(async (source) => {
        const layout = layouts[source.file];
        if (layout === undefined || source.layout === null) return { sources: [source], problems: [] };
        const read = await worker.inspectSource(source.file, layout);
        return read.sources.length > 0 ? read : { ...read, sources: [{ ...source, layout, rows: 0, columns: [], preview: [] }] }; // so that it can be changed back
      }));
      return { sources: again.flatMap((one) => one.sources), problems: [...problems, ...again.flatMap((one) => one.problems)] };
    };
    inspected().then(
      (inspection) => {
        if (!isMine()) return;
        const wanted = Object.entries(layoutsWanted(kept.draft, inspection)).filter(([file]) => layouts[file] === undefined);
        if (wanted.length > 0) {
          look(files, { ...layouts, ...Object.fromEntries(wanted) });
          return;
        }
        update({ files, layouts, problems: inspection.problems, draft: withInspection(withoutGone(kept.draft, inspection), inspection, suggestMapping(inspection)) });
        setLooking(false);
      },
      (error: unknown) => {
        if (!isMine()) return;
        update({ problems: [messageOf(error)] });
        setLooking(false);
      },
    );
  };

  const change = (mapping: Mapping, ...settled: readonly string[]) => {
    update({ draft: { ...kept.draft, mapping, settled: new Set([...kept.draft.settled, ...settled]) } });
  };
  const { draft, files, layouts } = state;
  const mappingProblems = useMemo(() => problemsOf(draft), [draft]);
  const open = useMemo(() => [...openPoints(draft), ...neededPoints(draft, mappingProblems)].sort((a, b) => steps.indexOf(a.step) - steps.indexOf(b.step)), [draft, mappingProblems]);
  return {
    ...state, isLooking, open, mappingProblems, change,
    settle: (...keys) => { change(kept.draft.mapping, ...keys); },
    addFiles: (added) => {
      const names = new Set(added.map(nameOf));
      look([...files.filter((file) => !names.has(nameOf(file))), ...added], layouts);
    },
    removeFile: (file) => { look(files.filter((other) => other !== file), layouts); },
    relayout: ({ file }, layout) => { look(files, { ...layouts, [file]: layout }); },
    openMapping: (mapping) => {
      update({ layouts: {}, draft: { ...emptyDraft, mapping, sources: kept.draft.sources } });
      if (files.length > 0) look(files, {});
    },
    noteLoad: () => { update({ wasLoaded: true }); },
    startAgain: () => { newest.current = null; setLooking(false); update(nothing); },
  };
}
