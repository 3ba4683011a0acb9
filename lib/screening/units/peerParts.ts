import type { Fragment } from '../../cohort/sql';
import type { Question } from '../../contract/question';
import { quoteText, type Database } from '../../engine/database';
import { adjustedCells, type CaseMixTerm } from './caseMixModel';
import type { PeerParts } from './drivers';
import { unitCells } from './unitCells';
import { countedCells, countsByPart } from './unitCounts';
import type { UnitCut } from './unitCuts';
import type { UnitReference } from './unitReference';

/**
 * What was observed and expected among the peers in the same parts, from the same reference: a design that is revised more everywhere shows it
 * here, and a hospital whose other models are revised as often. Null where the cut is adjusted for, since what is expected allows for it already.
 * `keys`: parts that the peers have too.
 */
export async function peerPartCounts(
  database: Database, peers: readonly Fragment[], cut: UnitCut, keys: readonly (string | null)[], terms: readonly CaseMixTerm[], reference: UnitReference, question: Question,
): Promise<PeerParts['counts']> {
  if (question.adjust.some((covariate) => covariate === cut.name) || keys.length === 0) return null;
  const whens = keys.map((key, i) => `WHEN (${cut.key}) ${key === null ? 'IS NULL' : `= ${quoteText(key)}`} THEN ${i}`);
  const factor = { label: cut.label, code: `CASE ${whens.join(' ')} END`, key: cut.key, labelOf: cut.labelOf };
  const parts = keys.map((key, code) => ({ code, key: key ?? '', label: cut.labelOf(key) }));
  const { complete, adjustments } = await unitCells(database, peers, factor, parts, question);
  const cells = adjustedCells(complete, adjustments, terms), counted = countedCells(cells, reference);
  return counted.status === 'ok' ? new Map(countsByPart(counted, cells.unit, keys.length).map((counts, i) => [keys[i]!, counts])) : null;
}
