'use client';
import { passphraseProblem, passphraseRule } from '../../lib/vault/passphrase';
import { PassphraseField } from './PassphraseField';

export interface Typed { readonly first: string; readonly second: string }
export const nothingTyped: Typed = { first: '', second: '' };

/** Why a passphrase typed twice is not taken; null: it is. */
export const typedProblem = ({ first, second }: Typed): string | null =>
  passphraseProblem(first) ?? (first === second ? null : 'The passphrase was typed in two ways.');

export function NewPassphrase({ typed, onChange, problem }: { readonly typed: Typed; readonly onChange: (typed: Typed) => void; readonly problem: string | null }) {
  return (
    <>
      <PassphraseField label="New passphrase" value={typed.first} onChange={(first) => { onChange({ ...typed, first }); }} isNew help={passphraseRule} problem={problem} />
      <PassphraseField label="The same once more" value={typed.second} onChange={(second) => { onChange({ ...typed, second }); }} isNew />
    </>
  );
}
