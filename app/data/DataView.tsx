'use client';
import { Problems } from '../parts/Problems';
import { ProgressLine } from '../parts/ProgressLine';
import { useWorkbench } from '../shell/WorkbenchProvider';
import { ChooseFiles } from './ChooseFiles';
import { DataPages } from './DataPages';
import { LoadedView } from './LoadedView';
import './data.css';

export function DataView() {
  const { loaded, isSample, progress, problems, load, worker } = useWorkbench();
  return (
    <div className="data">
      <DataPages />
      <h1>Data</h1>
      <section>
        <h2>Load an extract</h2>
        {worker !== null && <ChooseFiles onFiles={load} />}
        {progress !== null && <ProgressLine label={progress.label} fraction={progress.fraction} />}
        {problems.length > 0 && (
          <Problems
            heading="The extract was not loaded" problems={problems}
            after={loaded === null ? undefined : <p>{loaded.name} stays loaded.</p>}
          />
        )}
      </section>
      {loaded !== null && <LoadedView loaded={loaded} isSample={isSample} onSample={() => { load('sample'); }} />}
    </div>
  );
}
