import { formatDate } from '../../reports/format';
import type { CaseFile } from '../fold';
import { caseFacts, checksPart, decisionPart, evidenceParts, historyPart, saidPart } from './caseParts';
import { say, type PrintedDocument } from './printedDocument';
import { reviewCautions } from './reviewCautions';

export const committee: readonly string[] = ['Chair', 'Statistician', 'Clinical member', 'Further member'];

/** Everything about one question, for paper. `on`: day of the print, ISO 8601. */
export const dossier = (file: CaseFile, on: string): PrintedDocument => ({
  title: file.title,
  facts: [...caseFacts(file), { label: 'Printed', text: formatDate(on) }],
  parts: [
    { heading: 'Before a decision rests on this', blocks: say('Read these before the numbers.'), lists: reviewCautions },
    ...evidenceParts(file), checksPart(file), saidPart(file), decisionPart(file), historyPart(file),
  ],
  signatures: committee,
});
