'use client';
import { useState } from 'react';
import { Button, Dialog, DialogTrigger, Heading, Modal, ModalOverlay } from 'react-aria-components';
import { roundings, usualSmallest, type Policy } from '../../lib/disclosure/policy';
import { policyWords } from '../../lib/reports/policyWords';
import { Choice, NumberEntry } from '../parts/fields';
import '../parts/TextButton.css';
import '../parts/dialog.css';
import { useDisclosure } from './Disclosure';

const usual = [usualSmallest, 10] as const;

/** `5 people or more, rounded to 10s`. */
const inShort = ({ smallest, rounding }: Policy): string =>
  `${smallest === 1 ? 'every count' : `counts from ${smallest}`}${rounding === 1 ? '' : `, in ${rounding}s`}`;

/** Which counts may leave the page, set in one place for all of them. */
export function WhatMayLeave() {
  const { policy } = useDisclosure();
  return (
    <DialogTrigger>
      <Button className="text-button what-may-leave" aria-haspopup="dialog">What may leave: {inShort(policy)}</Button>
      <ModalOverlay className="dialog-ground" isDismissable>
        <Modal className="dialog-sheet">
          <Dialog>{({ close }) => <PolicyForm close={close} />}</Dialog>
        </Modal>
      </ModalOverlay>
    </DialogTrigger>
  );
}

function PolicyForm({ close }: { readonly close: () => void }) {
  const { policy, setPolicy } = useDisclosure();
  const [chosen, choose] = useState(policy), [own, setOwn] = useState(!usual.some((one) => one === policy.smallest));
  return (
    <>
      <Heading slot="title">What may leave the page</Heading>
      <p>This page shows every number to the person at it. Files, print and what is copied leave out small counts of people, what could be computed back to them, and identifiers.</p>
      <Choice
        label="The smallest count of people that may leave" chosen={own ? 'own' : String(chosen.smallest)}
        options={[...usual.map((one) => ({ key: String(one), label: String(one), ...(one === usualSmallest && { note: 'usual' }) })), { key: 'own', label: 'another' }]}
        onChange={(key) => { setOwn(key === 'own'); if (key !== 'own') choose({ ...chosen, smallest: Number(key) }); }}
      />
      {own && <NumberEntry label="Smallest count" value={chosen.smallest} least={1} most={1000} step={1} isRequired onChange={(smallest) => { choose({ ...chosen, smallest: smallest ?? chosen.smallest }); }} />}
      {chosen.smallest < usualSmallest && (
        <p className="caution" role="status">Below {usualSmallest}, single people can be recognised by those who know a little of them. Your registry’s rules and data protection law come first.</p>
      )}
      <Choice
        label="Counts of people are rounded" chosen={String(chosen.rounding)}
        options={roundings.map((base) => ({ key: String(base), label: base === 1 ? 'not rounded' : `to multiples of ${base}` }))}
        onChange={(key) => { choose({ ...chosen, rounding: roundings.find((base) => String(base) === key) ?? 1 }); }}
      />
      <p className="help">Every file and print says: “{policyWords(chosen)}” The setting holds until the site is closed or loaded again. A case file is not changed by it, and neither is what the browser itself saves or a picture of the screen.</p>
      <p className="actions">
        <Button className="button" onPress={() => { setPolicy(chosen); close(); }}>Set it</Button>
        <Button className="button quiet" onPress={close}>Leave it as it is</Button>
      </p>
    </>
  );
}
