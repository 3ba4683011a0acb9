'use client';
import { Problems } from '../parts/Problems';
import { ProgressLine } from '../parts/ProgressLine';
import { TextButton } from '../parts/TextButton';
import { useWorkbench } from '../shell/WorkbenchProvider';
import { ChooseFiles } from './ChooseFiles';
import { DataPages } from './DataPages';
import { LoadedView } from './LoadedView';
import { KeepSection } from '../vault/KeepSection';
import './data.css';

export function DataView() {
  const { loaded, isSample, progress, problems, load, canBeTried, cancel, again, worker } = useWorkbench();
  return (
    <div className="data">
      <DataPages />
      <h1>Data</h1>
      <section>
        <h2>Load an extract</h2>
        {worker !== null && <ChooseFiles onFiles={load} />}
        {progress !== null && <ProgressLine {...progress} onCancel={cancel} />}
        {progress === null && problems.length > 0 && (
          <Problems
            heading={loaded === null ? 'No registry is loaded' : 'The extract was not loaded'} problems={problems}
            after={<p>{loaded !== null && `${loaded.name} stays loaded. `}<TextButton onPress={again}>{canBeTried ? 'Try all the same' : 'Load again'}</TextButton></p>}
          />
        )}
      </section>
      {loaded !== null && <LoadedView loaded={loaded} isSample={isSample} onSample={() => { load('sample'); }} />}
      <KeepSection />
    </div>
  );
}
