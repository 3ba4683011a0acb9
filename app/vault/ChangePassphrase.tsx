'use client';
import { useState } from 'react';
import { Button, Form } from 'react-aria-components';
import { noWayBack } from '../../lib/vault/passphrase';
import { renewPassphrase } from './keeping';
import { NewPassphrase, nothingTyped, typedProblem } from './NewPassphrase';
import { PassphraseField } from './PassphraseField';

/** Another passphrase for the same data. */
export function ChangePassphrase() {
  const [before, setBefore] = useState('');
  const [typed, setTyped] = useState(nothingTyped);
  const [problem, setProblem] = useState<{ readonly before: string | null; readonly after: string | null }>({ before: null, after: null });
  const [done, setDone] = useState(false);
  const submit = async (): Promise<void> => {
    const after = typedProblem(typed);
    setProblem({ before: null, after });
    if (after !== null) return;
    const refused = await renewPassphrase(before, typed.first);
    setProblem({ before: refused, after: null });
    setDone(refused === null);
    if (refused === null) { setBefore(''); setTyped(nothingTyped); }
  };
  return (
    <details>
      <summary>Change the passphrase</summary>
      <Form className="choose" onSubmit={(event) => { event.preventDefault(); void submit(); }}>
        <p>{noWayBack} A copy of the browser’s storage made before, a backup for instance, still opens with the passphrase of that time.</p>
        <PassphraseField label="Passphrase so far" value={before} onChange={setBefore} isNew={false} problem={problem.before} />
        <NewPassphrase typed={typed} onChange={setTyped} problem={problem.after} />
        <p className="actions"><Button className="button" type="submit">Change it</Button></p>
        {done && <p role="status">The new passphrase holds.</p>}
      </Form>
    </details>
  );
}
