'use client';
import { useEffect, useRef, useState } from 'react';
import { Button } from 'react-aria-components';
import type { CheckStep } from '../../../lib/review/checks';
import type { CaseFile } from '../../../lib/review/fold';
import { RoleField, useRole } from '../parts/RoleField';
import { bodiesOf, EntryFields, nothingEntered, type Writable } from './entryFields';
import { useRecord } from './useRecord';

interface Props {
  readonly file: CaseFile;
  readonly kind: Writable;
  readonly step?: CheckStep; // of a check
  readonly label: string; // of the button
  readonly corrects?: string;
  readonly onDone: () => void;
}

/** Writes one entry. What is refused stays in the form, with the rule. */
export function EntryForm({ file, kind, step, label, corrects, onDone }: Props) {
  const [entered, setEntered] = useState(nothingEntered);
  const [role, setRole] = useRole();
  const { write, problem, busy } = useRecord(file.id);
  const isOpen = useRef(true);
  useEffect(() => {
    isOpen.current = true;
    return () => { isOpen.current = false; };
  }, []);
  const submit = () => {
    void write(bodiesOf(kind, step ?? null, file, entered), role, corrects).then((done) => {
      if (!done || !isOpen.current) return; // another form may have been opened meanwhile
      setEntered(nothingEntered);
      onDone();
    });
  };
  return (
    <div className="entry-form">
      <EntryFields kind={kind} file={file} entered={entered} change={(part) => { setEntered((before) => ({ ...before, ...part })); }} />
      <RoleField role={role} setRole={setRole} problem={null} />
      {problem !== null && <p className="refused" role="alert">{problem}</p>}
      <p className="actions"><Button className="button" onPress={submit} isDisabled={busy}>{label}</Button></p>
    </div>
  );
}
