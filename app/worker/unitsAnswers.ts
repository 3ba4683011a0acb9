import type { AnalysisOptions } from '../../lib/analysis/step';
import type { ChosenUnit, UnitsQuestion } from '../../lib/contract/unitsQuestion';
import type { LoadedExtract } from '../../lib/engine/loadedExtract';
import { unitReport, type UnitReport } from '../../lib/reports/units/unitReport';
import { noUnitsReport, unitsReport, type NoUnitsReport, type UnitsReport } from '../../lib/reports/units/unitsReport';
import type { UnitsView } from '../../lib/reports/units/unitsView';
import { allUnits } from '../../lib/screening/units/allUnits';
import { oneUnit } from '../../lib/screening/units/oneUnit';

/** Answers about units. The last of each kind is kept: another view of it needs no new work, and neither does another unit among the same. */
export function unitsAnswers(registry: () => LoadedExtract) {
  let keptAll: { readonly key: string; readonly result: Awaited<ReturnType<typeof allUnits>> } | null = null;
  let keptOne: { readonly key: string; readonly result: Awaited<ReturnType<typeof oneUnit>> } | null = null;

  /** What all units are, whichever peers and benchmark one of them is held against. */
  async function all(question: UnitsQuestion, options: AnalysisOptions) {
    const key = JSON.stringify({ ...question, peers: 'all', benchmark: null });
    if (keptAll?.key !== key) {
      const result = await allUnits(registry(), question, options);
      options.signal?.throwIfAborted(); // before it is kept
      keptAll = { key, result };
    }
    const { result } = keptAll;
    return result.status === 'empty' ? result : { ...result, question };
  }

  async function one(question: UnitsQuestion, unit: ChosenUnit, options: AnalysisOptions) {
    const key = JSON.stringify({ question, unit });
    if (keptOne?.key !== key) {
      const result = await oneUnit(registry(), question, unit, options);
      options.signal?.throwIfAborted();
      keptOne = { key, result };
    }
    return keptOne.result;
  }

  return {
    async all(question: UnitsQuestion, view: UnitsView, options: AnalysisOptions): Promise<UnitsReport | NoUnitsReport> {
      const result = await all(question, options);
      return result.status === 'empty' ? noUnitsReport(result) : unitsReport(result, view);
    },
    async one(question: UnitsQuestion, unit: ChosenUnit, view: UnitsView, options: AnalysisOptions): Promise<UnitReport | NoUnitsReport> {
      const among = await all(question, options);
      if (among.status === 'empty') return noUnitsReport(among);
      const result = await one(question, unit, options);
      return result.status === 'empty' ? noUnitsReport(result) : unitReport(result, among, view);
    },
    /** Another registry is loaded. */
    forget(): void {
      keptAll = keptOne = null;
    },
  };
}
