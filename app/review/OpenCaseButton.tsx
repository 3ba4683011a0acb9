'use client';
import Link from 'next/link';
import { useState } from 'react';
import { Button, Dialog, DialogTrigger, Heading, Modal, ModalOverlay } from 'react-aria-components';
import type { Evidence } from '../../lib/reports/evidence';
import { isClosed, stateLabels } from '../../lib/review/states';
import { Choice } from '../parts/fields';
import { RoleField, useRole } from './parts/RoleField';
import { addEvidence, openCase } from './store/cases';
import { useCases } from './store/useCases';
import '../parts/dialog.css';

/** Raises a question about what is on the page: opens a case with it, or adds it to one that is open. */
export function OpenCaseButton({ evidence }: { readonly evidence: Evidence }) {
  const [opened, setOpened] = useState<string | null>(null); // the case that it went into
  return (
    <div className="raise">
      <DialogTrigger onOpenChange={(open) => { if (open) setOpened(null); }}>
        <Button className="button">Raise a question about this</Button>
        <ModalOverlay className="dialog-ground" isDismissable>
          <Modal className="dialog-sheet">
            <Dialog>{({ close }) => (opened === null ? <RaiseForm evidence={evidence} onOpened={setOpened} close={close} /> : <Raised id={opened} close={close} />)}</Dialog>
          </Modal>
        </ModalOverlay>
      </DialogTrigger>
    </div>
  );
}

function RaiseForm({ evidence, onOpened, close }: { readonly evidence: Evidence; readonly onOpened: (id: string) => void; readonly close: () => void }) {
  const { subject, title, source, look } = evidence;
  const about = (useCases()?.files ?? []).filter((file) => file.subject.kind === subject.kind && file.subject.id === subject.id);
  const [into, setInto] = useState('new');
  const [role, setRole] = useRole();
  const [problem, setProblem] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  const raise = () => {
    if (role.trim() === '') { setProblem('Say in which role you raise it.'); return; }
    setBusy(true);
    const by = { role: role.trim(), at: new Date() };
    (into === 'new' ? openCase(evidence, by) : addEvidence(into, evidence, by).then(() => into))
      .then(onOpened, (error: unknown) => { setProblem(error instanceof Error ? error.message : String(error)); })
      .finally(() => { setBusy(false); });
  };
  return (
    <>
      <Heading slot="title">Raise a question about {subject.label}</Heading>
      <p>A question, not a verdict. Chance, errors in the data, coding and case mix come first; what is found is recorded step by step.</p>
      <dl className="facts">
        <div><dt>What is frozen with it</dt><dd>{title}: numbers, drawings and how they were made</dd></div>
        <div><dt>Data</dt><dd>{source.registry}, version {source.version}, fingerprint {source.fingerprint.slice(0, 12)}{look === null ? '' : `, look ${look}`}</dd></div>
      </dl>
      {about.length > 0 && (
        <Choice
          label="Where it goes" chosen={into} onChange={setInto}
          options={[
            { key: 'new', label: 'A new question' },
            ...about.map((file) => ({ key: file.id, label: `${isClosed(file.state) ? 'An earlier question, closed' : 'A question that is open'}: ${file.title}`, note: stateLabels[file.state] })),
          ]}
        />
      )}
      <RoleField role={role} setRole={setRole} problem={problem} />
      <p className="help">It is held for this session only, and stored nowhere, unless you export its case file (page Review) or keep cases on this machine, encrypted (page Data).</p>
      <p className="actions">
        <Button className="button" onPress={raise} isDisabled={busy}>{into === 'new' ? 'Raise the question' : 'Add to the question'}</Button>
        <Button className="button quiet" onPress={close}>Leave it</Button>
      </p>
    </>
  );
}

function Raised({ id, close }: { readonly id: string; readonly close: () => void }) {
  return (
    <>
      <Heading slot="title">The question is in the register</Heading>
      <p>What was on the page is frozen with it and will stay as it was.</p>
      <p className="actions">
        <Link href={`/review/?case=${id}`} prefetch={false} onClick={close}>Go to the question</Link>
        <Button className="button quiet" onPress={close}>Stay here</Button>
      </p>
    </>
  );
}
