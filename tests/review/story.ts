import { inOrder, type History } from '@/lib/review/graph';
import type { Body } from '@/lib/review/entry';
import type { Evidence } from '@/lib/reports/evidence';
import { checkSteps } from '@/lib/review/checks';
import { frozenEvidence } from '@/lib/review/seal';
import { nextEntry } from '@/lib/review/write';

// An invented committee's question about an invented hospital.

export const evidence: Evidence = {
  subject: { kind: 'hospital', id: 'H017', label: 'hospital H017' },
  title: 'More revisions than expected at one hospital',
  question: 'Observed against expected revisions within ten years of anatomic total shoulder replacements, adjusted for age and sex',
  request: { kind: 'hospital', horizonYears: 10, adjust: ['age', 'sex'] },
  source: { registry: 'Tervania', version: '4', opened: '2005-01-01', closingDate: '2024-12-31', fingerprint: 'ab'.repeat(32) },
  look: 3,
  blocks: [
    { kind: 'heading', text: 'Observed and expected' },
    { kind: 'words', sentences: [{ text: '31 revisions were observed and 17.2 expected, a ratio of 1.80 (95% CI 1.22–2.56).', staysInside: false }] },
    {
      kind: 'table', folded: false,
      table: {
        name: 'reasons', title: 'Reasons for revision', method: 'Counts.', protected: true,
        columns: [{ label: 'Reason', numeric: false }, { label: 'Observed', numeric: true }],
        rows: [{ cells: [{ text: 'Glenoid loosening' }, { text: '28', value: 28, basis: [28] }] }, { cells: [{ text: 'Infection' }, { text: '3', value: 3, basis: [3], outside: '<5' }] }],
      },
    },
  ],
  methods: ['Indirect standardisation from the reference cohort’s hazard'],
  notes: ['112 procedures without a recorded age are left out'],
};

export const caseId = '6f1f3a52-5d0e-4f0b-9f43-2f9f0a7f5a11';

export type Step = Body | 'opened';
/** Minutes after the first meeting. */
export const instant = (minutes: number): Date => new Date(Date.UTC(2026, 2, 2, 9, minutes));

/** Writes entries one after another on what is there. */
export async function written(on: History, bodies: readonly Body[], { role = 'chair', from = on.length }: { readonly role?: string; readonly from?: number } = {}): Promise<History> {
  let history = on;
  for (const [i, body] of bodies.entries()) history = inOrder([...history, await nextEntry(caseId, history, body, { role, at: instant(from + i) })]);
  return history;
}

export const opened = async (of: Evidence = evidence): Promise<History> => written([], [{ kind: 'opened', ...await frozenEvidence(of) }]);

export const state = (to: Extract<Body, { kind: 'state' }>['to']): Body => ({ kind: 'state', to, why: 'as agreed at the meeting' });
export const check = (step: (typeof checkSteps)[number], result: Extract<Body, { kind: 'check' }>['result'] = 'doesNotExplain'): Body => ({ kind: 'check', step, result, words: 'records of the ten latest revisions read' });
export const allChecks: readonly Body[] = checkSteps.map((step) => check(step));
export const letter: Body = { kind: 'letterSent', to: 'head of department', replyBy: '2026-04-15', words: 'letter of 2 March with the list of own cases' };
export const reply: Body = { kind: 'reply', words: 'two of the revisions were of the other side' };
export const decision = (action: Extract<Body, { kind: 'decision' }>['action']): Body => ({ kind: 'decision', action, reasons: 'the ratio stays above one without the two wrong sides' });
export const nextLook = (date: string): Body => ({ kind: 'nextLook', date, words: 'after the next extract' });

/** From the question to the table of the committee. */
export const beforeCommittee = async (): Promise<History> =>
  written(await opened(), [state('checking'), ...allChecks, letter, state('withUnit'), reply, state('committee')]);
