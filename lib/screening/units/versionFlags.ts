import type { AnalysisOptions } from '../../analysis/step';
import type { UnitsQuestion } from '../../contract/unitsQuestion';
import type { LoadedExtract } from '../../engine/loadedExtract';
import { allUnits } from './allUnits';
import type { UnitLine } from './unitsResult';

/** A hospital in two versions of an extract; null: not in that version. */
export interface UnitInVersions {
  readonly id: string;
  readonly older: UnitLine | null;
  readonly newer: UnitLine | null;
  readonly changed: boolean; // whether it is asked about, passed or not assessed
}

/** Every unit of the question in both versions, in the order of identifiers: each held against its own version. */
export async function versionFlags(older: LoadedExtract, newer: LoadedExtract, question: UnitsQuestion, options: AnalysisOptions = {}): Promise<readonly UnitInVersions[]> {
  const [a, b] = [await allUnits(older, question, options), await allUnits(newer, question, options)].map((result) => new Map((result.status === 'ok' ? result.units : []).map((line) => [line.id, line])));
  const ids = [...new Set([...a!.keys(), ...b!.keys()])].sort();
  return ids.map((id) => {
    const was = a!.get(id) ?? null, is = b!.get(id) ?? null;
    return { id, older: was, newer: is, changed: was?.status !== is?.status };
  });
}
