import type { Cells, Design, NotEstimable } from '../cells';
import { clusterCount } from '../clusterCrossProducts';
import { cox, type CoxFit } from '../cox/cox';
import { scoreResiduals } from '../cox/residuals';
import { distinctTimes } from '../distinctTimes';
import { eventTables, type EventTable } from '../eventTable';
import { setSums } from '../riskSets';

/**
 * `stratified`: each group has a baseline hazard of its own, so that its curve keeps its own shape and proportional hazards are asked of the
 * covariates only. `proportional`: the groups differ by one ratio at all times.
 */
export type GroupModel = 'stratified' | 'proportional';

/** A combination of covariates and stratum as it occurs in the cohort. */
interface CaseMixRow {
  readonly pattern: number;
  readonly stratum: number;
  /** Its share of all procedures, 0–1. */
  readonly share: number;
}

/** A Cox model of all groups, ready to say what each would have seen with the case mix of the whole cohort. */
export interface Standardisation {
  readonly status: 'ok';
  readonly fit: CoxFit;
  readonly groups: readonly string[];
  /** Per group: its own follow-up, the last time that its curve reaches, and why it has none. */
  readonly tables: readonly EventTable[];
  readonly reach: Float64Array;
  readonly notEstimable: readonly (NotEstimable | null)[];
  readonly caseMix: readonly CaseMixRow[];
  readonly rowOf: Int32Array; // per cell
  readonly procedures: number;
  /** Relative hazard of a row in a group, and the stratum of the model that its baseline is taken from. */
  readonly modelPattern: (row: CaseMixRow, group: number) => number;
  readonly modelStratum: (row: CaseMixRow, group: number) => number;
  /** Per risk set: the cumulative baseline hazard. */
  readonly cumulativeHazard: Float64Array;
  /** Score residuals, cells × columns. */
  readonly residuals: Float64Array;
}

/**
 * `design`: covariates without the groups; `group` (from 0) has an entry per cell. Strata of the cells keep baselines of their own, and are
 * part of the case mix. Each procedure has one cell: follow-up must not be split.
 * Covariates that `fit.notEstimable` names as constant are not adjusted for: within each group all had the same.
 */
export function standardisation(
  cells: Cells, design: Design, group: Int32Array, groups: readonly string[], model: GroupModel = 'stratified',
): Standardisation | NotEstimable {
  const strata = distinctTimes(Float64Array.from(cells.stratum ?? new Int32Array(group.length))), stratum = strata.place;
  const size = groups.length, apart = model === 'stratified';
  const fit = apart
    ? cox({ ...cells, stratum: group.map((g, i) => g * strata.time.length + stratum[i]!) }, design)
    : cox({ ...cells, stratum }, withGroups(design, group, groups));
  if (fit.status !== 'ok') return fit;
  const boundless = boundlessReason(fit);
  if (boundless) return boundless;
  if (clusterCount(cells) < 2) return { status: 'notEstimable', reason: 'all procedures belong to one cluster' };
  const pattern = design.names.length === 0 ? new Int32Array(group.length) : design.pattern;
  const { caseMix, rowOf } = caseMixOf(pattern, stratum, cells.count);
  const modelPattern = (row: CaseMixRow, g: number): number => (apart ? row.pattern : row.pattern * size + g);
  const modelStratum = (row: CaseMixRow, g: number): number => (apart ? g * strata.time.length + row.stratum : row.stratum);
  const reach = Float64Array.from(groups, (_, g) => {
    const lastOf = new Map<number, number>();
    let own = 0;
    group.forEach((h, i) => {
      if (h === g) own = Math.max(own, cells.exit[i]!);
      if (h === g || !apart) lastOf.set(stratum[i]!, Math.max(lastOf.get(stratum[i]!) ?? 0, cells.exit[i]!));
    });
    return caseMix.reduce((least, row) => Math.min(least, lastOf.get(row.stratum) ?? -1), own);
  });
  const tables = eventTables(cells, group, size);
  const notEstimable = groups.map((name, g): NotEstimable | null => {
    if (tables[g]!.procedures === 0) return { status: 'notEstimable', reason: `no procedures with ${name}` };
    if (reach[g]! < 0) return { status: 'notEstimable', reason: `no procedures with ${name} in one of the strata` };
    const column = apart || g === 0 ? null : fit.notEstimable[g - 1];
    return column ? { status: 'notEstimable', reason: column.reason } : null;
  });
  const { ties, model: { sets } } = fit.state;
  return {
    status: 'ok', fit, groups, tables, reach, notEstimable, caseMix, rowOf, procedures: fit.procedures, modelPattern, modelStratum,
    cumulativeHazard: setSums(ties.hazard, sets).running,
    residuals: scoreResiduals(fit.state),
  };
}

const noHazard = -15; // of a coefficient: a hazard of e^−15 of another is none

/**
 * A ratio without bound leaves hazards undetermined, except that of a level without events against others with some: there nobody is revised. Where two such
 * levels are bound up with each other, one of their coefficients may have come to stand anywhere.
 * Columns that are constant or combinations of others are merely left out.
 */
function boundlessReason({ names, notEstimable, state }: CoxFit): NotEstimable | null {
  const j = names.findIndex((_, k) => {
    const cause = notEstimable[k]?.cause;
    return cause === 'separated' || (cause === 'noEvents' && state.beta[k]! > noHazard);
  });
  return j < 0 ? null : { status: 'notEstimable', reason: `${notEstimable[j]!.reason}; join ${names[j]!} with another level or leave it out` };
}

/** A pattern for each pattern and group; the groups' columns, against the first group, come first. */
function withGroups({ names, values, pattern }: Design, group: Int32Array, groups: readonly string[]): Design {
  const size = groups.length, covariates = names.length, columns = size - 1 + covariates;
  const patterns = covariates === 0 ? 1 : values.length / covariates;
  const all = new Float64Array(patterns * size * columns);
  for (let p = 0; p < patterns; ++p) {
    for (let g = 0; g < size; ++g) {
      const row = (p * size + g) * columns;
      if (g > 0) all[row + g - 1] = 1;
      for (let j = 0; j < covariates; ++j) all[row + size - 1 + j] = values[p * covariates + j]!;
    }
  }
  return { names: [...groups.slice(1), ...names], values: all, pattern: group.map((g, i) => (covariates === 0 ? 0 : pattern[i]!) * size + g) };
}

function caseMixOf(pattern: Int32Array, stratum: Int32Array, count: Float64Array): Pick<Standardisation, 'caseMix' | 'rowOf'> {
  const places = new Map<string, number>(), rows: { pattern: number; stratum: number; procedures: number }[] = [];
  let total = 0;
  const rowOf = pattern.map((p, i) => {
    const key = `${p} ${stratum[i]!}`, known = places.get(key) ?? rows.length;
    if (known === rows.length) {
      places.set(key, known);
      rows.push({ pattern: p, stratum: stratum[i]!, procedures: 0 });
    }
    rows[known]!.procedures += count[i]!;
    total += count[i]!;
    return known;
  });
  return { caseMix: rows.map(({ procedures, ...row }) => ({ ...row, share: procedures / total })), rowOf };
}
