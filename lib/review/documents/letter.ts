import { formatCount, formatDate, formatDaysAsYears } from '../../reports/format';
import { sourceLine } from '../../reports/provenance';
import type { OwnCase } from '../../screening/units/unitsResult';
import type { CaseFile } from '../fold';
import { awaitedReply } from '../register';
import { evidenceParts } from './caseParts';
import { say, type PrintedDocument } from './printedDocument';

/** The unit's own procedures to be checked, for the unit alone: by the keys of the extract, which only it can trace. */
export interface OwnCaseList { readonly columns: readonly string[]; readonly rows: readonly (readonly string[])[] }

/** A letter, and the list that goes with it; null: the list could not be made. */
export interface Letter extends PrintedDocument { readonly ownCases: OwnCaseList | null }

const listOf = (cases: readonly OwnCase[]): OwnCaseList => ({
  columns: ['No.', 'Procedure', 'Date', 'Years to revision', 'Kind', 'Reason', 'Right patient, joint and side?', 'A revision, with this reason?'],
  rows: cases.map(({ procedureId, procedureDate, days, kind, reason }, i) => [formatCount(i + 1), procedureId, formatDate(procedureDate), formatDaysAsYears(days), kind, reason, '', '']),
});

/**
 * The private letter of question to a unit. `on`: day of the print; `cases`: the unit's revised procedures, null where the extract that
 * the question rests on is not loaded. Null for a component: there is nobody to write to.
 */
export function letter(file: CaseFile, cases: readonly OwnCase[] | null, on: string): Letter | null {
  if (file.subject.kind === 'component') return null;
  const sent = file.letters.at(-1)?.body, replyBy = awaitedReply(file) ?? sent?.replyBy;
  const by = replyBy === undefined ? '____________________' : formatDate(replyBy);
  const [seen, ...more] = evidenceParts(file);
  return {
    title: `What the registry holds on ${file.subject.label}: please check`,
    facts: [
      { label: 'To', text: sent?.to ?? 'the head of the unit' }, { label: 'Date', text: formatDate(on) }, { label: 'Reply asked for by', text: by },
      { label: 'Number of the case', text: file.id }, { label: 'Data', text: sourceLine(file.source) },
    ],
    parts: [
      {
        heading: 'Why you receive this',
        blocks: [
          ...say('In the extract named above, what is recorded of your procedures differs from what the others’ records would lead one to expect. The numbers are enclosed, with how they were made and how uncertain they are.'),
          ...say('This is a question and no verdict. Some differences arise by chance alone; records can be incomplete, linked to the wrong joint or coded otherwise than meant; and whom you operate on may differ in ways that are not recorded. These come before anything else is considered.'),
        ],
      },
      {
        heading: 'What we ask of you', blocks: [],
        lists: [
          cases === null ? 'Compare the records of your revised procedures with your own: patient, joint, side and date.' : 'Compare the enclosed list with your own records: is each the right patient, joint, side and date?',
          'Say of each whether a component was removed, exchanged or added, and for which reason; and whether your unit did the first operation.',
          'Name what the list lacks, revisions done elsewhere among them.',
          'Tell us what sets your patients apart: referrals, indications, earlier operations, bone and soft tissue.',
          'Tell us what changed in the period: implants, technique, surgeons, aftercare, or when you revise.',
        ],
      },
      {
        heading: 'How to reply',
        blocks: [
          ...say(`Please reply in writing to the chair by ${by}. If you need more time, or numbers that are not enclosed, say so before that day. Send no names of patients: the numbers of the list are enough.`),
          ...say('Your reply is kept in the case file in your own words, and it is read before anything is decided that bears on you. If you see it otherwise than the committee does, that is kept too. You may ask for the file as it stands.'),
        ],
      },
      ...(seen === undefined ? [] : [{ ...seen, heading: `Enclosed: ${seen.heading.replace(/^What/, 'what')}` }, ...more]),
    ],
    signatures: ['Chair, for the committee'],
    ownCases: cases === null ? null : listOf(cases),
  };
}
