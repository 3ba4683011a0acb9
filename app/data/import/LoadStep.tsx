'use client';
import Link from 'next/link';
import { finishedMapping } from '../../../lib/contract/editMapping';
import type { Mapping } from '../../../lib/contract/mapping';
import type { MappingProblem } from '../../../lib/intake/suggestion';
import { stepTitles } from '../../../lib/reports/importing/openPoints';
import { placeWords } from '../../../lib/reports/importing/check';
import { Problems } from '../../parts/Problems';
import { ProgressLine } from '../../parts/ProgressLine';
import { useWorkbench } from '../../shell/WorkbenchProvider';
import { LoadedView } from '../LoadedView';
import type { Importing } from './useImport';

const mostListed = 20;

/** What is still open, and the load itself. */
export function LoadStep({ draft, files, open, mappingProblems, wasLoaded, noteLoad }: Importing) {
  const { loaded, isSample, progress, problems, load, cancel } = useWorkbench();
  const others = mappingProblems.filter(({ path }) => !open.some((point) => point.path === path || path.startsWith(`${point.path}.`)));
  const blocking = others.filter(({ blocks }) => blocks), cautions = others.filter(({ blocks }) => !blocks);
  const isReady = open.length === 0 && mappingProblems.every(({ blocks }) => !blocks);
  const start = () => {
    noteLoad();
    load({ files, mapping: finishedMapping(draft.mapping) });
  };
  return (
    <>
      {open.length > 0 && (
        <div className="open-points">
          <p>Still to answer before it can be loaded:</p>
          <ul>{open.slice(0, 12).map(({ step, text }) => <li key={text}><a href={`#${step}`}>{stepTitles[step]}</a>: {text}</li>)}</ul>
          {open.length > 12 && <p className="soft">… and {open.length - 12} more.</p>}
        </div>
      )}
      <Listed heading="What does not fit" problems={blocking} mapping={draft.mapping} />
      <Listed heading="It can be loaded so, but" problems={cautions} mapping={draft.mapping} />
      {isReady && <p>All is answered. The whole files are read now; every record is kept or set aside with the rule that it broke.</p>}
      <p className="choices"><button type="button" className="button" disabled={!isReady || progress !== null} onClick={start}>Load the extract</button></p>
      {wasLoaded && progress !== null && <ProgressLine {...progress} onCancel={cancel} />}
      {wasLoaded && progress === null && problems.length > 0 && (
        <Problems heading="The extract was not loaded" problems={problems} after={loaded === null ? undefined : <p>{loaded.name} stays loaded.</p>} />
      )}
      {wasLoaded && progress === null && problems.length === 0 && loaded !== null && !isSample && (
        <>
          <p>All pages now answer from it. Go to <Link href="/" prefetch={false}>Compare</Link>, or look through the report first.</p>
          <LoadedView loaded={loaded} isSample={isSample} onSample={() => { load('sample'); }} />
        </>
      )}
    </>
  );
}

function Listed({ heading, problems, mapping }: { readonly heading: string; readonly problems: readonly MappingProblem[]; readonly mapping: Mapping }) {
  if (problems.length === 0) return null;
  return (
    <div className="open-points">
      <p>{heading}:</p>
      <ul>{problems.slice(0, mostListed).map(({ path, message }) => <li key={`${path} ${message}`}>{placeWords(mapping, path) !== '' && <span className="soft">{placeWords(mapping, path)}: </span>}{message}</li>)}</ul>
      {problems.length > mostListed && <p className="soft">… and {problems.length - mostListed} more.</p>}
    </div>
  );
}
