'use client';
import Link from 'next/link';
import { Button } from 'react-aria-components';
import { noWayBack } from '../../lib/vault/passphrase';
import { saveFile } from '../parts/saveFile';
import { TextButton } from '../parts/TextButton';
import { ChangePassphrase } from './ChangePassphrase';
import { ChooseThings } from './ChooseThings';
import { lock, read } from './keeping';
import { names } from './names';
import { RemoveButton } from './RemoveButton';
import { UnlockForm, useLoadKept } from './UnlockForm';
import { useKeeping } from './useKeeping';
import { useWorkbench } from '../shell/WorkbenchProvider';
import './vault.css';

const saveMapping = (): void => { void read(names.mapping).then((mapping) => { if (mapping !== null) saveFile('mapping.json', mapping); }); };

/** What is kept on this machine, chosen and let go of here. */
export function KeepSection() {
  const { kept } = useKeeping();
  if (kept.status === 'looking') return null;
  return (
    <section className="keep-here" id="keep" data-kept={kept.status}>
      <h2>Keep on this machine</h2>
      <p>Nothing is stored unless you say so here. What you keep is encrypted with a passphrase of yours and lies in the storage of this browser, on this machine. Clearing the browser’s storage deletes it, and so does closing a private window: it is no substitute for your own files.</p>
      {kept.status === 'impossible' && <p className="caution">This page was opened in a way in which browsers do not encrypt. Open it over https, or from this machine itself, to keep something.</p>}
      {kept.status === 'none' && <><p className="caution">{noWayBack}</p><ChooseThings kept={kept} /></>}
      {kept.status === 'locked' && <><p>There are data kept here, locked.</p><UnlockForm><RemoveButton /></UnlockForm></>}
      {kept.status === 'unlocked' && (
        <>
          <LoadKept />
          {kept.records.has(names.mapping) && <p><TextButton onPress={saveMapping}>Save the kept mapping as a file</TextButton>, to start from it on the page <Link href="/data/import/" prefetch={false}>Bring your own</Link>.</p>}
          <ChooseThings key={[...kept.records.keys()].join()} kept={kept} />
          <ChangePassphrase />
          <p className="actions"><Button className="button quiet" onPress={lock}>Lock</Button><RemoveButton /></p>
        </>
      )}
    </section>
  );
}

function LoadKept() {
  const { kept } = useKeeping();
  const { loaded } = useWorkbench();
  const loadKept = useLoadKept();
  if (kept.status !== 'unlocked' || kept.extract === null) return null;
  const { registry, version, keptOn, fingerprint } = kept.extract;
  return loaded?.fingerprint === fingerprint
    ? <p>The extract that is loaded is the one that is kept: {registry}, version {version}, kept on {keptOn}.</p>
    : <p>Kept on {keptOn}: {registry}, version {version}. <TextButton onPress={() => { void loadKept(); }}>Load the kept extract</TextButton></p>;
}
