'use client';
import Link from 'next/link';
import { usePathname } from 'next/navigation';
import { useEffect, useRef, useState } from 'react';
import { Button } from 'react-aria-components';
import { ProgressLine } from '../parts/ProgressLine';
import { attend } from '../review/store/cases';
import { useWorkbench } from '../shell/WorkbenchProvider';
import { lock } from './keeping';
import { OldCases } from './OldCases';
import { RemoveButton } from './RemoveButton';
import { UnlockForm } from './UnlockForm';
import { useKeeping } from './useKeeping';
import './vault.css';

/** Above every page: that something is kept on this machine, and whether it is open. */
export function VaultBar() {
  const { kept, work, notice } = useKeeping();
  const [notNow, setNotNow] = useState(false);
  const onData = usePathname() === '/data/'; // which says all of it itself
  useEffect(attend, []);
  useSampleWhenLocked();
  return (
    <div className="vault-bar">
      {notice !== null && <p className="notice" role="status">{notice}</p>}
      {work !== null && <ProgressLine {...work} />}
      {kept.status === 'locked' && !notNow && !onData && (
        <section aria-label="Kept on this machine">
          <p>There are data kept on this machine, encrypted.</p>
          <UnlockForm><Button className="button quiet" onPress={() => { setNotNow(true); }}>Not now</Button><RemoveButton label="Remove" /></UnlockForm>
        </section>
      )}
      {kept.status === 'unlocked' && (
        <section aria-label="Kept on this machine" className="open">
          <p>What is kept on this machine is unlocked{kept.extract === null ? '' : `: ${kept.extract.registry}, version ${kept.extract.version}`}.</p>
          <p className="actions"><Button className="button quiet" onPress={lock}>Lock</Button>{!onData && <Link href="/data/#keep" prefetch={false}>What is kept</Link>}</p>
        </section>
      )}
      <OldCases />
    </div>
  );
}

/** Locking takes the kept extract off the pages, in whichever tab it was locked. */
function useSampleWhenLocked(): void {
  const { kept } = useKeeping();
  const { loaded, load } = useWorkbench();
  const open = useRef<string | null>(null); // fingerprint of the kept extract while it is unlocked
  useEffect(() => {
    if (kept.status === 'locked' && open.current !== null && loaded?.fingerprint === open.current) load('sample');
    open.current = kept.status === 'unlocked' ? kept.extract?.fingerprint ?? null : null;
  }, [kept, loaded, load]);
}
