import type { ChosenUnit } from '../../contract/unitsQuestion';

/** How results of units are shown. It changes no number. */
export interface UnitsView {
  /** Other units by their identifiers; else each is “a peer”. */
  readonly names: boolean;
  /** The unit that is marked among the others. */
  readonly marked: Pick<ChosenUnit, 'kind' | 'id'> | null;
  /** When the benchmark was set, and whether results had been seen by then; null: none was set. */
  readonly benchmarkSet: string | null;
}
