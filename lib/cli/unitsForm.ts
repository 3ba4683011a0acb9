import { basename } from 'node:path';
import { UnitsQuestion, type UnitKind } from '../contract/unitsQuestion';
import type { LoadedExtract } from '../engine/loadedExtract';
import { allUnits } from '../screening/units/allUnits';
import { oneUnit } from '../screening/units/oneUnit';
import { unitNames } from '../screening/units/unitNames';
import type { NoUnits, UnitAnalysis, UnitsAnalysis } from '../screening/units/unitsResult';
import type { UnitsOptions } from './arguments';
import { InputError } from './inputError';
import { existingText, parsed } from './questionFile';
import { withExtract } from './withExtract';

/** All units of the question's kind, or the one that is named beside its peers. */
export async function unitsAnswer(
  { extract: paths, mapping, units: path, hospital, surgeon, peer }: UnitsOptions, progress: (line: string) => void,
): Promise<UnitsAnalysis | UnitAnalysis | NoUnits> {
  const question = parsed(UnitsQuestion, basename(path), await existingText(path)), id = hospital ?? surgeon;
  const kind: UnitKind = hospital !== undefined ? 'hospital' : surgeon !== undefined ? 'surgeon' : question.kind;
  return withExtract({ extract: paths, mapping }, progress, async (extract, options) => {
    await refuseUnknown(extract, { hospital: [...(hospital === undefined ? [] : [hospital]), ...peer], surgeon: surgeon === undefined ? [] : [surgeon] });
    return id === undefined ? allUnits(extract, question, options) : oneUnit(extract, { ...question, kind }, { kind, id, chosenPeers: peer }, options);
  });
}

/** An identifier is not repeated in a message. */
export async function refuseUnknown(extract: LoadedExtract, asked: Record<UnitKind, readonly string[]>): Promise<void> {
  const { hospitals, surgeons } = await unitNames(extract);
  const unknown = (ids: readonly string[], known: readonly { readonly id: string }[]): boolean => ids.some((id) => !known.some((unit) => unit.id === id));
  if (unknown(asked.hospital, hospitals)) throw new InputError('no such hospital in the extract');
  if (unknown(asked.surgeon, surgeons)) throw new InputError('no such surgeon in the extract');
}
