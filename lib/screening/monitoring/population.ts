import { completeCases, type Adjustment } from '../../analysis/completeCases';
import type { CohortCells } from '../../analysis/cohortCells';
import { designMatrix } from '../../analysis/designMatrix';
import { covariateTerm } from '../../analysis/model';
import { patternRadices, unpackPattern } from '../../cohort/patterns';
import type { Condition } from '../../cohort/conditions';
import { codings } from '../../cohort/covariate';
import { apartCode, monitoredCellsQuery, monitoredFactor, monitoredQuery, type MonitoredFactor } from '../../cohort/monitored';
import type { MonitoringQuestion } from '../../contract/monitoringQuestion';
import type { Database, ResultSet } from '../../engine/database';
import type { Cells, Design, NotEstimable } from '../../stats/cells';
import { cox } from '../../stats/cox/cox';
import { eventTable } from '../../stats/eventTable';
import { kaplanMeier } from '../../stats/kaplanMeier';
import { stopOf } from '../../stats/stopRule';
import { indexesByGroup, subset, taken } from '../../stats/subset';
import { referenceHazard, type ReferenceHazard } from '../standardisation/referenceHazard';

/** A hospital, a surgeon or a model that has procedures in the cohort. */
export interface MonitoredUnit { readonly code: number; readonly key: string; readonly procedures: number; readonly firstProcedure: number }

/** What a subject is held against. */
export interface KnownReference { readonly status: 'ok'; readonly hazard: ReferenceHazard; readonly procedures: number; readonly revisions: number; readonly untilDay: number }

/** Procedures by day of surgery, a cell each. */
export interface OwnFollowUp { readonly cells: Cells; readonly design: Design; readonly surgery: Int32Array; readonly procedures: number; readonly leftOut: number }

/** Everybody whom one reference could be made of: all units, or all models of one kind. */
export interface Population {
  readonly units: readonly MonitoredUnit[];
  readonly adjustedFor: readonly string[];
  readonly leftOut: readonly { readonly covariate: string; readonly missing: number }[];
  readonly notes: readonly string[];
  /** Share of all procedures with every covariate, 0–1, that are of this unit; 0 where it is so small that it is not told apart. */
  readonly shareOf: (unit: MonitoredUnit) => number;
  /** Of all procedures, or of all but those of one unit. */
  readonly reference: (without: MonitoredUnit | null) => KnownReference | NotEstimable;
  readonly followUp: (units: readonly MonitoredUnit[]) => Promise<readonly OwnFollowUp[]>;
}

const smallShare = 0.02; // a unit with less is never left out of a reference, so that its procedures need not be told apart there

export async function unitsOf(database: Database, conditions: readonly Condition[], factor: MonitoredFactor): Promise<readonly MonitoredUnit[]> {
  const result = await database.query(monitoredQuery(conditions, factor));
  const [codes, procedures, first] = ['code', 'procedures', 'first_day'].map((name) => result.numbers(name));
  return result.texts('key').map((key, i) => ({ code: codes![i]!, key: key ?? '', procedures: procedures![i]!, firstProcedure: first![i]! }));
}

/** `apart`: units that a reference may have to do without, besides large ones. */
export async function populationOf(
  database: Database, conditions: readonly Condition[], units: readonly MonitoredUnit[], apart: readonly MonitoredUnit[], question: MonitoringQuestion, lastDay: number,
): Promise<Population> {
  const factor = monitoredFactor(question), covariates = [...new Set(question.adjust)];
  const factors = covariates.map((covariate) => codings[covariate]);
  const all = units.reduce((sum, { procedures }) => sum + procedures, 0);
  const toldApart = units.filter((unit) => apart.includes(unit) || unit.procedures > smallShare * all).map(({ code }) => code);
  const result = await database.query(monitoredCellsQuery(conditions, factors, apartCode(factor.code, toldApart), false, lastDay, question));
  const patterns = patternsOf(result, factors.length);
  const unit = Int32Array.from(result.numbers('unit')), whole = cohortOf(result, patterns.of(result), patterns.count);
  const adjustments = covariates.map((covariate, f): Adjustment => ({ covariate, coding: codings[covariate], codes: patterns.codes[f]! }));
  const isComplete = patterns.where((codes) => codes.every((code) => code >= 0));
  const { cohort: complete, leftOut } = completeCases(whole, adjustments);
  const unitOfCell = unit.filter((_, i) => isComplete[whole.pattern[i]!] === 1);
  const terms = adjustments.map((adjustment) => covariateTerm(complete, adjustment)), kept = terms.filter(({ columns }) => columns.length > 0);
  const design = designMatrix(kept, complete.pattern, patterns.count);
  const procedures = sum(complete.cells.count), own = new Map<number, number>(); // of the units told apart
  unitOfCell.forEach((code, i) => own.set(code, (own.get(code) ?? 0) + complete.cells.count[i]!));

  const references = new Map<number | null, KnownReference | NotEstimable>();
  return {
    units,
    adjustedFor: kept.map(({ label }) => label),
    leftOut,
    notes: terms.filter(({ columns }) => columns.length === 0).map(({ label }) => `${label} is not in the model: it is the same for all.`),
    shareOf: ({ code }) => (own.get(code) ?? 0) / procedures,
    reference(without) {
      const key = without?.code ?? null, known = references.get(key) ?? fitted(complete, design, unitOfCell, key, question.largestStep);
      references.set(key, known);
      return known;
    },
    async followUp(asked) {
      const result = await database.query(monitoredCellsQuery([...conditions, isUnit(factor, asked)], factors, factor.code, true, lastDay, question));
      const { cells, pattern } = cohortOf(result, patterns.of(result), patterns.count), surgery = Int32Array.from(result.numbers('surgery'));
      const place = new Map(asked.map(({ code }, u) => [code, u])), unitOfRow = Int32Array.from(result.numbers('unit'), (code) => place.get(code)!);
      return indexesByGroup(unitOfRow, asked.length).map((rows) => {
        const complete = rows.filter((i) => isComplete[pattern[i]!] === 1);
        const counted = (at: Int32Array) => at.reduce((total, i) => total + cells.count[i]!, 0);
        return {
          cells: subset(cells, complete), design: { ...design, pattern: taken(pattern, complete, new Int32Array(complete.length)) },
          surgery: taken(surgery, complete, new Int32Array(complete.length)), procedures: counted(complete), leftOut: counted(rows) - counted(complete),
        };
      });
    },
  };
}

const isUnit = ({ code }: MonitoredFactor, units: readonly MonitoredUnit[]): Condition =>
  ({ label: '', sql: `${code} IN (${units.map(() => '?').join(', ')})`, params: units.map((unit) => unit.code) });

const sum = (values: Float64Array): number => values.reduce((total, v) => total + v, 0);

function fitted({ cells }: CohortCells, design: Design, unit: Int32Array, without: number | null, largestStep: number): KnownReference | NotEstimable {
  const at = Int32Array.from(unit.keys()).filter((i) => without === null || unit[i] !== without), others = subset(cells, at);
  if (at.length === 0) return { status: 'notEstimable', reason: 'there are no other procedures to compare with' };
  const fit = cox(others, { ...design, pattern: taken(design.pattern, at, new Int32Array(at.length)) }, { ties: 'breslow' });
  if (fit.status !== 'ok') return { status: 'notEstimable', reason: `among those compared with there are ${fit.reason}` };
  const stop = stopOf(kaplanMeier(eventTable(others)), { largestStep, minAtRisk: 0 });
  if (stop.index < 0) return { status: 'notEstimable', reason: 'too few procedures to compare with' };
  const hazard = referenceHazard(fit, stop.time);
  return hazard.status === 'ok' ? { status: 'ok', hazard, procedures: fit.procedures, revisions: fit.events, untilDay: stop.time } : hazard;
}

/** The cells of a result; there are no groups among them. */
const cohortOf = (result: ResultSet, pattern: Int32Array, patterns: number): CohortCells => {
  const entry = result.numbers('entry_day');
  return {
    cells: {
      exit: result.numbers('exit_day'), event: Uint8Array.from(result.numbers('outcome')), count: result.numbers('procedures'),
      ...(entry.some((day) => day >= 0) && { entry: entry.map((day) => (day < 0 ? -Infinity : day)) }),
    },
    group: new Int32Array(pattern.length), pattern, groupOfPattern: new Int32Array(patterns),
  };
};

/** Numbers the combinations of factors that a result has from 0, for it and for results with no others. */
function patternsOf(all: ResultSet, factors: number) {
  const columns = (result: ResultSet) => Array.from({ length: factors }, (_, f) => result.numbers(`factor_${f}`));
  const radices = patternRadices(columns(all).map((codes) => codes.reduce((most, code) => Math.max(most, code), -1)));
  const packed = (result: ResultSet) => {
    const codes = columns(result);
    return Float64Array.from({ length: result.rowCount }, (_, i) => codes.reduce((number, code, f) => number * radices[f]! + code[i]! + 1, 0));
  };
  const distinct = [...new Set(packed(all))].sort((a, b) => a - b), numberOf = new Map(distinct.map((p, i) => [p, i]));
  const codesOfPattern = distinct.map((p) => unpackPattern(p, radices));
  return {
    count: distinct.length,
    codes: Array.from({ length: factors }, (_, f) => Int32Array.from(codesOfPattern, (codes) => codes[f]!)),
    of: (result: ResultSet) => Int32Array.from(packed(result), (p) => numberOf.get(p)!),
    where: (holds: (codes: readonly number[]) => boolean) => Uint8Array.from(codesOfPattern, (codes) => (holds(codes) ? 1 : 0)),
  };
}
