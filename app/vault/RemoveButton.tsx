'use client';
import { ConfirmButton } from '../parts/ConfirmButton';
import { letGo } from '../review/store/cases';
import { removeEverything } from './keeping';

/** Removes everything that this site has stored in this browser. */
export function RemoveButton({ label = 'Remove everything' }: { readonly label?: string }) {
  return (
    <ConfirmButton
      label={label} heading="Remove everything that is kept here?" confirm="Remove everything"
      onConfirm={() => { void removeEverything().then(letGo); }}
    >
      <p>The kept extract, cases, mapping and settings will be gone from this browser, and the cases of this session with them. Only your own files and exported case files bring them back. No passphrase is needed, and it cannot be undone.</p>
      <p className="help">What is loaded stays on the page until the tab is closed.</p>
    </ConfirmButton>
  );
}
