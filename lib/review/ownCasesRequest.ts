import { z } from 'zod';
import { Outcome } from '../contract/question';
import { ChosenUnit, UnitsQuestion } from '../contract/unitsQuestion';
import { headOf } from './evidenceSchema';
import { isKind, type CaseFile } from './fold';

const { cohort, horizonYears } = UnitsQuestion.shape, { kinds, reasons } = Outcome.shape;
/** What a page asked, as far as it says which procedures and which revisions count; pages ask for more besides. */
const Asked = z.object({ question: z.object({ cohort, outcome: z.object({ kinds, reasons }).prefault({}), horizonYears }) });

export interface OwnCasesRequest { readonly question: UnitsQuestion; readonly unit: ChosenUnit }

/** What to ask so as to list the revised procedures that a question rests on; null: it is not about a unit, or what was asked does not say. */
export function ownCasesRequest({ subject, history }: CaseFile): OwnCasesRequest | null {
  const opened = history.find(isKind('opened')), asked = opened === undefined ? null : Asked.safeParse(headOf(opened.body.evidence).request);
  if (subject.kind === 'component' || asked?.success !== true) return null;
  return { question: UnitsQuestion.parse({ kind: subject.kind, ...asked.data.question }), unit: ChosenUnit.parse({ kind: subject.kind, id: subject.id }) };
}
