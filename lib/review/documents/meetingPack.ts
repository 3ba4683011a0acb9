import { protectSmallCounts } from '../../reports/smallCounts';
import { formatDate } from '../../reports/format';
import type { CaseFile } from '../fold';
import { isOpen, registerTable } from '../register';
import { dossier } from './dossier';
import { say, type PrintedDocument } from './printedDocument';

/** The cover of a meeting and the dossier of every question that is open. `on`: day of the print. */
export function meetingPack(files: readonly CaseFile[], on: string): readonly PrintedDocument[] {
  const open = files.filter(isOpen), closed = files.filter((file) => !isOpen(file));
  const cover: PrintedDocument = {
    title: 'Meeting of the review',
    facts: [
      { label: 'Printed', text: formatDate(on) }, { label: 'Open questions', text: String(open.length) }, { label: 'Closed questions', text: String(closed.length) },
    ],
    parts: [
      {
        heading: 'Order of business', blocks: [],
        lists: [
          'Interests are stated before a question is taken up; whoever has one stays out of its decision.',
          'For each question: errors in the data, case mix, concentration, implant, practice, in this order.',
          'The reply of the unit is heard before anything is decided that bears on it.',
          'Dissent is written down in the words of those who dissent.',
          'Each question ends with a decision and its reasons, or with what is missing for one, and with the day of the next look.',
        ],
      },
      { heading: 'Open questions', blocks: open.length === 0 ? say('No question is open.') : [{ kind: 'table', folded: false, table: protectSmallCounts(registerTable(open)) }] },
      ...(closed.length === 0 ? [] : [{ heading: 'Closed questions', blocks: [{ kind: 'table' as const, folded: false, table: protectSmallCounts({ ...registerTable(closed), name: 'closed' }) }] }]),
    ],
    signatures: ['Chair', 'Secretary'],
  };
  return [cover, ...open.map((file) => dossier(file, on))];
}
