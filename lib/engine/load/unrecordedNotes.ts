import { labelOf, roleCodes } from '../../contract/codes';
import type { ProcedurePart, Recorded } from '../../contract/recorded';
import { sql, type Database } from '../database';

const number = (n: number): string => n.toLocaleString('en');

/** What can't be said where a part of the procedures is nowhere recorded. */
const withoutPart: Readonly<Record<ProcedurePart, string>> = {
  patient: 'No patient is recorded: each procedure counts as one patient of its own. Two joints of one patient can’t be recognised, and neither can a second primary on the same side; deaths can’t be linked, so that patients who died are followed up as if they were alive.',
  side: 'No side is recorded: re-operations are linked by the key of the procedure alone, and a second primary on the same side isn’t noticed.',
  class: 'No class of procedure is recorded: procedures can’t be chosen or compared by what was replaced, and no result can be adjusted for it.',
  indication: 'No indication is recorded: procedures can’t be chosen or compared by it, and no result can be adjusted for it.',
  age: 'No age is recorded: procedures can’t be chosen by it, and no result can be adjusted for it.',
  sex: 'No sex is recorded: procedures can’t be chosen or compared by it, and no result can be adjusted for it.',
  asa: 'No ASA grade is recorded: no result can be adjusted for it.',
  bmi: 'No body mass index is recorded: no result can be adjusted for it.',
  approach: 'No approach is recorded: no result can be adjusted for it.',
  proximal_fixation: 'No fixation on the proximal side of the joint is recorded: procedures can’t be chosen or compared by it.',
  distal_fixation: 'No fixation on the distal side of the joint is recorded: procedures can’t be chosen or compared by it.',
  hospital: 'No hospital is recorded: hospitals can’t be compared or monitored, and whether a result hangs on a single hospital can’t be said.',
  surgeon: 'No surgeon is recorded: surgeons can’t be compared or monitored, and first cases can’t be told from later ones.',
  region: 'No region is recorded: hospitals can’t be held against those of their own region.',
};

function componentNotes({ components }: Recorded): string[] {
  const roles = roleCodes.filter(({ code }) => components[code] !== undefined);
  if (roles.length === 0) return ['No component is recorded: designs and models can’t be compared, screened or monitored, and nothing has a component to be restricted to.'];
  const without = (part: 'model' | 'design'): string =>
    roles.filter(({ code }) => components[code]?.[part] === 0).map(({ code }) => labelOf(roleCodes, code).toLowerCase()).join(', ');
  const models = without('model'), designs = without('design');
  return [
    ...(models === '' ? [] : [`No model is recorded of: ${models}. Its models can’t be compared, screened or monitored.`]),
    ...(designs === '' ? [] : [`No design class is recorded of: ${designs}. Its designs can’t be compared.`]),
  ];
}

function revisionNotes({ procedures, followUpEnds, revisions: { first, kind, reason, removed } }: Recorded): string[] {
  const notes: string[] = [];
  if (kind < first) {
    notes.push(`Of ${number(first)} first revisions, ${number(first - kind)} ${first - kind === 1 ? 'is' : 'are'} known as a revision only: counted where both kinds of revision are asked for, and as another revision where only one kind is.`);
  }
  if (first > 0 && reason === 0) notes.push('No reason for a revision is recorded: revisions can’t be told apart by reason.');
  if (first > 0 && removed === 0) notes.push('No removed component is recorded: revisions of one component can’t be told from those of another.');
  if (followUpEnds === 0 && procedures > 0) {
    notes.push('No last day of follow-up is recorded: a procedure without a revision or a linked death is followed up to the closing date, also where the patient had moved away.');
  }
  return notes;
}

/** What can't be said for want of data, in finished sentences. */
export async function unrecordedNotes(database: Database, recorded: Recorded, catalogued: boolean): Promise<string[]> {
  const { procedures, of } = recorded;
  const parts = Object.entries(withoutPart).flatMap(([part, sentence]) => (of[part as ProcedurePart] === 0 ? [sentence] : []));
  const some: string[] = [];
  const unknown = procedures - of.patient;
  if (of.patient > 0 && unknown > 0) {
    some.push(`${number(unknown)} of ${number(procedures)} procedures name no patient: each counts as one patient of its own, to whom neither another joint nor a death can be linked.`);
  }
  return [...parts, ...some, ...componentNotes(recorded), ...(catalogued ? [] : await derivedNotes(database)), ...revisionNotes(recorded)];
}

const modelsNamed = 5;

/** Of an extract without a catalogue. */
async function derivedNotes(database: Database): Promise<string[]> {
  const models = await database.query(sql(`SELECT model_code, (role IS NULL OR design_class IS NULL AND model_code IN (
      SELECT model_code::VARCHAR FROM components WHERE design_class IS NOT NULL))::INTEGER AS open FROM models ORDER BY model_code`));
  if (models.rowCount === 0) return [];
  const open = models.numbers('open'), several = models.texts('model_code').filter((_, i) => open[i] === 1);
  const named = several.slice(0, modelsNamed).join(', ') + (several.length > modelsNamed ? ' …' : '');
  return [
    `There is no catalogue of models: ${number(models.rowCount)} ${models.rowCount === 1 ? 'model stands' : 'models stand'} as the components name them, so that a slip in a code makes a model of its own.`,
    ...(several.length === 0 ? [] : [
      `${number(several.length)} of them ${several.length === 1 ? 'is' : 'are'} recorded with more than one role or design class (${named}): each component counts as it was recorded, and which is right can’t be said without a catalogue.`]),
  ];
}
