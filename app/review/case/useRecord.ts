'use client';
import { useState } from 'react';
import { Body } from '../../../lib/review/entry';
import { record } from '../store/cases';

/** Writes into a case; says why it was not written. */
export function useRecord(id: string) {
  const [problem, setProblem] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  const write = async (candidates: readonly unknown[], role: string, corrects?: string): Promise<boolean> => {
    if (role.trim() === '') { setProblem('Say in which role you write.'); return false; }
    const bodies: Body[] = [];
    for (const candidate of candidates) {
      const checked = Body.safeParse(candidate);
      if (!checked.success) { setProblem(`${fieldOf(checked.error.issues[0]?.path[0])} ${checked.error.issues[0]?.message ?? ''}.`); return false; }
      bodies.push(checked.data);
    }
    setBusy(true);
    try {
      await record(id, bodies, { role: role.trim(), at: new Date(), ...(corrects !== undefined && { corrects }) });
      setProblem(null);
      return true;
    } catch (error) {
      setProblem(`Not recorded: ${error instanceof Error ? error.message : String(error)}.`);
      return false;
    } finally {
      setBusy(false);
    }
  };
  return { write, problem, busy, setProblem };
}

const fields: Readonly<Record<string, string>> = { words: 'The words', reasons: 'The reasons', why: 'The reason', to: 'The field “to”', replyBy: 'The date for reply', date: 'The date', result: 'The result', action: 'The decision' };
const fieldOf = (field: PropertyKey | undefined): string => fields[String(field)] ?? 'An entry';
