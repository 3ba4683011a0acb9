import type { Fragment } from '../../cohort/sql';
import { unitFactor } from '../../cohort/unit';
import type { Question } from '../../contract/question';
import type { UnitsQuestion } from '../../contract/unitsQuestion';
import type { Database } from '../../engine/database';
import { adjustedCells, type CaseMixTerm } from './caseMixModel';
import { unitCells } from './unitCells';
import { countsByUnit, ratioLine, type UnitRatioLine } from './unitCounts';
import { unitLines } from './unitLines';
import type { UnitReference } from './unitReference';
import { unitSizes } from './unitSizes';
import type { UnitLine } from './unitsResult';

/**
 * The surgeons of a hospital by what they did there, against the same reference. How much surgeons differ anyhow is learnt from the peers' surgeons, too.
 * They are not put in an order: no places.
 */
export async function surgeonLines(
  database: Database, own: readonly Fragment[], peers: readonly Fragment[],
  terms: readonly CaseMixTerm[], reference: UnitReference, asked: Question, question: UnitsQuestion,
): Promise<readonly UnitLine[]> {
  const linesOf = async (conditions: readonly Fragment[]): Promise<readonly UnitRatioLine[]> => {
    const surgeons = await unitSizes(database, conditions, 'surgeon');
    const { complete, adjustments } = await unitCells(database, conditions, unitFactor('surgeon'), surgeons, asked);
    const counts = countsByUnit(adjustedCells(complete, adjustments, terms), reference, surgeons.length);
    return surgeons.map(({ key, procedures }, s) => ratioLine(key, procedures, counts[s]!, question.confidence));
  };
  const here = await linesOf(own), elsewhere = await linesOf(peers);
  return unitLines([...here, ...elsewhere], question, { places: false }).lines.slice(0, here.length);
}
