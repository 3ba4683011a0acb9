'use client';
import type { LoadedReport } from '../../lib/reports/loadedReport';
import { ConfirmButton } from '../parts/ConfirmButton';
import { DataTable } from '../parts/DataTable';
import { saveFile } from '../parts/saveFile';
import { TextButton } from '../parts/TextButton';
import { useWorkbench } from '../shell/WorkbenchProvider';

/** What is loaded and what became of every record. */
export function LoadedView({ loaded, isSample, onSample }: { readonly loaded: LoadedReport; readonly isSample: boolean; readonly onSample: () => void }) {
  const { worker } = useWorkbench();
  const saveSetAside = () => { void worker?.setAside().then((rows) => { saveFile('set-aside.csv', rows); }); };
  return (
    <section data-loaded={isSample ? 'sample' : 'own'}>
      <h2>Loaded: {loaded.name}</h2>
      {isSample
        ? <p>This is the sample registry: an invented country, invented hospitals, patients and models. Nothing in it describes anything real.</p>
        : <p><TextButton onPress={onSample}>Go back to the sample registry</TextButton></p>}
      <dl className="facts">
        {loaded.facts.map(({ label, text }) => <div key={label}><dt>{label}</dt><dd>{text}</dd></div>)}
      </dl>
      {loaded.notes.length > 0 && (
        <section className="notes" aria-labelledby="notes-title">
          <h3 id="notes-title">What to know of this extract</h3>
          <ul>{loaded.notes.map((note) => <li key={note}>{note}</li>)}</ul>
        </section>
      )}
      <DataTable table={loaded.records} />
      {loaded.anySetAside && (
        <>
          <DataTable table={loaded.rules} />
          <ConfirmButton label="Download every record and value set aside, row by row" heading="This file goes record by record" confirm="Download it" onConfirm={saveSetAside}>
            <p>It is for mending your own files. Identifiers are left out, but it names the lines of your files and single values as they stand there, dates among them: whoever has the files finds the patients. Give it only to those who may see them.</p>
          </ConfirmButton>
        </>
      )}
      {loaded.withoutRecord !== null && <DataTable table={loaded.withoutRecord} />}
      <DataTable table={loaded.revisions} />
    </section>
  );
}
