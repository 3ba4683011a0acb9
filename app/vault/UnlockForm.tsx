'use client';
import { useState, type ReactNode } from 'react';
import { Button, Form } from 'react-aria-components';
import { useWorkbench } from '../shell/WorkbenchProvider';
import { readExtract, unlock } from './keeping';
import { PassphraseField } from './PassphraseField';
import { failureWords } from './room';
import { takeOverSettings } from './things';

/** Opens what is kept, and loads the kept extract where the sample registry stands. */
export function UnlockForm({ children }: { readonly children?: ReactNode }) {
  const { isSample } = useWorkbench();
  const loadKept = useLoadKept();
  const [typed, setTyped] = useState('');
  const [problem, setProblem] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  const open = async () => {
    setBusy(true);
    const found = await unlock(typed);
    setBusy(false);
    setProblem(found);
    if (found !== null) return;
    setTyped('');
    await takeOverSettings();
    if (isSample) await loadKept();
  };
  return (
    <Form className="unlock" onSubmit={(event) => { event.preventDefault(); open().catch((error: unknown) => { setProblem(failureWords(error)); }); }}>
      <PassphraseField label="Passphrase" value={typed} onChange={setTyped} isNew={false} problem={problem} />
      <p className="actions"><Button className="button" type="submit" isDisabled={busy || typed === ''}>{busy ? 'Unlocking …' : 'Unlock'}</Button>{children}</p>
    </Form>
  );
}

/** Loads the kept extract, as it was when it was kept. */
export function useLoadKept(): () => Promise<void> {
  const { load } = useWorkbench();
  return async () => {
    const found = await readExtract();
    if (found !== null) load(found.note.mapping === null ? found.files : { files: found.files, mapping: found.note.mapping });
  };
}
