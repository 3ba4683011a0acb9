'use client';
import type { ReactNode } from 'react';
import { Button, Dialog, DialogTrigger, Heading, Modal, ModalOverlay } from 'react-aria-components';
import './dialog.css';

interface Props {
  readonly label: string;
  readonly heading: string;
  readonly confirm: string; // what pressing does
  readonly onConfirm: () => void;
  readonly isDisabled?: boolean;
  readonly children: ReactNode; // what a person must know before
}

/** An action that is said out loud before it is done. */
export function ConfirmButton({ label, heading, confirm, onConfirm, isDisabled = false, children }: Props) {
  return (
    <DialogTrigger>
      <Button className="button quiet" isDisabled={isDisabled}>{label}</Button>
      <ModalOverlay className="dialog-ground" isDismissable>
        <Modal className="dialog-sheet">
          <Dialog role="alertdialog">
            {({ close }) => (
              <>
                <Heading slot="title">{heading}</Heading>
                {children}
                <p className="actions">
                  <Button className="button" onPress={() => { close(); onConfirm(); }}>{confirm}</Button>
                  <Button className="button quiet" onPress={close}>Leave it</Button>
                </p>
              </>
            )}
          </Dialog>
        </Modal>
      </ModalOverlay>
    </DialogTrigger>
  );
}
