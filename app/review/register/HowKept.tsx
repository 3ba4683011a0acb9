'use client';
import Link from 'next/link';
import { isKept } from '../../vault/things';
import { useKeeping } from '../../vault/useKeeping';

/** Where the cases lie: in this tab only, or encrypted on this machine. */
export function HowKept({ unsaved, any }: { readonly unsaved: number; readonly any: boolean }) {
  const { kept } = useKeeping();
  if (isKept('cases', kept)) return <p className="help">Kept on this machine, encrypted. <Link href="/data/#keep" prefetch={false}>What is kept</Link></p>;
  if (!any) return <p className="help">Nothing is stored: a question that is raised is held for this session only, unless you export it or <Link href="/data/#keep" prefetch={false}>keep it on this machine</Link>, encrypted.</p>;
  return (
    <p className={unsaved > 0 ? 'caution' : 'help'} role="note">
      Kept for this session only: closing or reloading the tab loses {unsaved > 0 ? `what is not exported yet (${unsaved === 1 ? '1 entry' : `${unsaved} entries`})` : 'it here; every entry is in a file that was exported'}. Export it, or <Link href="/data/#keep" prefetch={false}>keep it on this machine</Link>, encrypted.
    </p>
  );
}
