'use client';
import * as Comlink from 'comlink';
import { useEffect, useMemo, useRef, useState } from 'react';
import { Button, FileTrigger } from 'react-aria-components';
import { fromAddress } from '../../../lib/contract/address';
import { openingQuestion } from '../../../lib/contract/openingQuestion';
import type { Question } from '../../../lib/contract/question';
import type { QualityView } from '../../../lib/reports/quality/qualityView';
import type { VersionsReport } from '../../../lib/reports/quality/versionsReport';
import type { Progress } from '../../worker/workbench';
import { Blocks } from '../../blocks/Blocks';
import { lastSearch } from '../../parts/address';
import { ConfirmButton } from '../../parts/ConfirmButton';
import { Problems } from '../../parts/Problems';
import { ProgressLine } from '../../parts/ProgressLine';
import { saveFile } from '../../parts/saveFile';
import { TextButton } from '../../parts/TextButton';
import { useWorked, type AskWorker } from '../../parts/useWorked';
import { withMapping } from './withMapping';
import { useUnitsSession } from '../../shell/UnitsSession';
import { useWorkbench } from '../../shell/WorkbenchProvider';

interface Request { readonly question: Question; readonly view: QualityView }
const askWorker: AskWorker<Request, VersionsReport> = (worker, { question, view }, onProgress) => worker.versions(question, view, onProgress);

/** What was asked last on the page Compare, or else its opening question. */
function lastQuestion(): Question {
  const asked = fromAddress(lastSearch('/'));
  return asked.status === 'ok' ? asked.question : openingQuestion;
}

type Older = { readonly status: 'none' } | { readonly status: 'loading'; readonly progress: Progress } | { readonly status: 'refused'; readonly problems: readonly string[] } | { readonly status: 'loaded'; readonly source: string };

/** An older version of the extract beside the loaded one: what changed, and which numbers move. */
export function Versions() {
  const { worker } = useWorkbench();
  const { names } = useUnitsSession();
  const [older, setOlder] = useState<Older>({ status: 'none' });
  const latest = useRef<object>(null); // the load that was asked for last
  const isLoaded = older.status === 'loaded';
  const request = useMemo((): Request | null => (isLoaded ? { question: lastQuestion(), view: { names } } : null), [isLoaded, names]);
  const { report, failed, progress } = useWorked(request, askWorker);
  useEffect(() => () => { latest.current = null; void worker?.closeOlder(); }, [worker]); // it takes as much memory as the loaded one

  const load = (chosen: FileList | null) => {
    if (worker === null || chosen === null || chosen.length === 0) return;
    const mine = latest.current = {};
    const show = (state: Older) => { if (mine === latest.current) setOlder(state); };
    const end = (state: Older) => {
      show(state);
      if (mine === latest.current) latest.current = null; // progress may arrive after the end
    };
    show({ status: 'loading', progress: { label: 'Opening a second database', fraction: 0 } });
    const brought = async () => {
      const { files, mapping, problems } = await withMapping([...chosen]);
      return problems.length > 0 ? { status: 'refused' as const, problems } : worker.loadOlder(files, mapping, Comlink.proxy((reached: Progress) => { show({ status: 'loading', progress: reached }); }));
    };
    brought().then(
      (result) => { end(result.status === 'cancelled' ? { status: 'none' } : result); },
      (error: unknown) => { end({ status: 'refused', problems: [error instanceof Error ? error.message : String(error)] }); },
    );
  };
  const letGo = () => {
    latest.current = null;
    void worker?.closeOlder();
    setOlder({ status: 'none' });
  };
  const save = () => { void worker?.versionDifferences().then((file) => { saveFile('differences.csv', file); }); };

  return (
    <div className="versions" data-versions={isLoaded && report !== null && progress === null ? 'compared' : older.status}>
      <p>Choose an older version of the same extract. It is read in this browser, beside the loaded one and never in its place, and needs about as much memory again. Files of your own form need the mapping that was saved with them: choose it with the files. The mapping of the loaded extract is not taken, as the older one closed on another day. The numbers compared are those of the question asked last on the page Compare.</p>
      <p className="choices">
        <FileTrigger allowsMultiple onSelect={load}><Button className="button">Choose the older files or zip</Button></FileTrigger>
        <FileTrigger acceptDirectory onSelect={load}><Button className="button">Choose the older folder</Button></FileTrigger>
        {older.status !== 'none' && <TextButton onPress={letGo}>{older.status === 'loading' ? 'Stop' : 'Let go of the older version'}</TextButton>}
      </p>
      {older.status === 'loading' && <ProgressLine label={older.progress.label} fraction={older.progress.fraction} />}
      {older.status === 'refused' && <Problems heading="The older version was not loaded" problems={older.problems} after={<p>The loaded extract stays as it is.</p>} />}
      {failed !== null && <Problems heading="The versions could not be compared" problems={[failed]} />}
      {isLoaded && progress !== null && <ProgressLine label={progress.label} fraction={progress.fraction} />}
      {isLoaded && report !== null && (
        <>
          <p className="source">Older: {report.older}. Loaded: {report.source}.</p>
          <Blocks blocks={report.blocks} provenance={report.provenance} source={report.source} />
          {report.differences > 0 && (
            <ConfirmButton label="Download the differences line by line as CSV" heading="This file goes record by record" confirm="Download it" onConfirm={save}>
              <p>It holds no identifier and no value, but the lines of your own files: whoever has these finds the patients. Give it only to those who may see them.</p>
            </ConfirmButton>
          )}
        </>
      )}
    </div>
  );
}
