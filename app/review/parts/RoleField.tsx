'use client';
import { useState } from 'react';
import { WordsField } from '../../parts/WordsField';

let lastRole = ''; // for as long as the page is open, stored nowhere

/** The role of the person who writes, kept for the next entry. */
export function useRole(): readonly [string, (role: string) => void] {
  const [role, setRole] = useState(lastRole);
  return [role, (changed) => { lastRole = changed; setRole(changed); }];
}

export function RoleField({ role, setRole, problem }: { readonly role: string; readonly setRole: (role: string) => void; readonly problem: string | null }) {
  return <WordsField label="Your role" value={role} onChange={setRole} problem={problem} help="A role, not a name: chair, statistician, head of department." />;
}
