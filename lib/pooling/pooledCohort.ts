import type { CohortToModel } from '../analysis/askedModel';
import { chosenFrom } from '../analysis/groups';
import { codings } from '../cohort/covariate';
import { comparisonFactor } from '../cohort/comparison';
import type { Covariate, Question } from '../contract/question';
import { spreadCells } from './spreadCells';
import { cellColumns, cellsIn, countsBy, type Cell, type ReducedRegistry } from './reducedRegistry';

/** What a file of counts gives to the pool. */
export interface RegistryPart { readonly registry: string; readonly reduced: ReducedRegistry; readonly withheldGroups: readonly string[] }

/** The cohorts of several registries as one, with what a model needs of it. `strata` begins with the registry. */
export interface PooledCohort extends CohortToModel {
  readonly status: 'ok';
  readonly registryOfPattern: Int32Array;
  /** Per group, with the days that a cell may have ended on. */
  readonly told: readonly (readonly Cell[])[];
  readonly notes: readonly string[];
  /** What the question adjusts for or stratifies by and some file lacks. */
  readonly notCarried: readonly string[];
}
export interface NothingToPool { readonly status: 'empty'; readonly reason: string }

/** Joins the parts. The groups and the reference are chosen as they would be for the rows of all of them together. */
export function pooledCohort(parts: readonly RegistryPart[], question: Question): PooledCohort | NothingToPool {
  const factor = comparisonFactor(question), withheld = new Set(parts.flatMap(({ withheldGroups }) => withheldGroups));
  const sizes = new Map<string, number>();
  for (const { reduced } of parts) {
    countsBy(reduced, reduced.groups.length, ({ pattern }) => reduced.patterns.group[pattern]!)
      .forEach(({ procedures }, g) => { sizes.set(reduced.groups[g]!, (sizes.get(reduced.groups[g]!) ?? 0) + procedures); });
  }
  const levels = [...sizes].filter(([key, procedures]) => procedures > 0 && !withheld.has(key)).map(([key, procedures]) => ({ code: 0, key, procedures }))
    .sort((a, b) => b.procedures - a.procedures || (a.key < b.key ? -1 : 1));
  const { groups, reference, notes } = chosenFrom(levels, factor, question);
  const ofWithheld = [...withheld].map((key) => `${factor.labelOf(key)} is not shown: ${parts.filter((part) => part.withheldGroups.includes(key)).map(({ registry }) => registry).join(', ')} withheld it, having too few revisions or too few ends of follow-up without one.`);
  if (groups.length === 0) return { status: 'empty', reason: ['No procedure of the files is in a group to compare.', ...ofWithheld].join(' ') };

  const carried = (kind: 'adjust' | 'strata', name: string): boolean => parts.every(({ reduced }) => reduced.patterns.factors.some((f) => f.kind === kind && f.name === name));
  const adjusting = [...new Set(question.adjust)].filter((name) => carried('adjust', name)), stratifying = [...new Set(question.strata)].filter((name) => carried('strata', name));
  const notCarried = [...new Set([...question.adjust.filter((name) => !adjusting.includes(name)), ...question.strata.filter((name) => !stratifying.includes(name))])].map(stratumLabel);
  const cells: (Cell & { readonly group: number })[] = [], told: Cell[][] = groups.map(() => []);
  const groupOf: number[] = [], registryOf: number[] = [], adjustCodes: number[][] = adjusting.map(() => []), strataKeys: (string | null)[][] = stratifying.map(() => []);
  for (const [r, { reduced }] of parts.entries()) {
    const levelOf = (kind: 'adjust' | 'strata', name: string, p: number): string | null => {
      const { keys, level } = reduced.patterns.factors.find((f) => f.kind === kind && f.name === name)!, at = level[p] ?? null;
      return at === null ? null : keys[at]!;
    };
    const placeOf = reduced.patterns.group.map((g, p) => {
      const group = groups.findIndex(({ key }) => key === reduced.groups[g]);
      if (group < 0) return -1;
      registryOf.push(r);
      adjusting.forEach((name, f) => { adjustCodes[f]!.push(codeOf(name, levelOf('adjust', name, p))); });
      stratifying.forEach((name, f) => { strataKeys[f]!.push(levelOf('strata', name, p)); });
      return groupOf.push(group) - 1;
    });
    for (const cell of cellsIn(reduced)) {
      const pattern = placeOf[cell.pattern]!, group = groupOf[pattern];
      if (group === undefined) continue;
      told[group]!.push(cell);
      for (const spread of spreadCells(cell)) cells.push({ ...spread, pattern, group });
    }
  }
  const column = (name: 'exit' | 'count'): Float64Array => Float64Array.from(cells, (cell) => cell[name]);
  return {
    status: 'ok', groups: groups.map(({ key, label }, code) => ({ key, label, code })), reference,
    cohort: {
      cells: {
        exit: column('exit'), event: Uint8Array.from(cells, ({ event }) => event), count: column('count'),
        ...(cells.some(({ entry }) => entry >= 0) && { entry: Float64Array.from(cells, ({ entry }) => (entry < 0 ? -Infinity : entry)) }),
      },
      group: Int32Array.from(cells, ({ group }) => group), pattern: Int32Array.from(cells, ({ pattern }) => pattern), groupOfPattern: Int32Array.from(groupOf),
    },
    adjustments: adjusting.map((covariate, f) => ({ covariate, coding: codings[covariate], codes: Int32Array.from(adjustCodes[f]!) })),
    strata: [
      { label: 'Registry', codes: Int32Array.from(registryOf) },
      ...stratifying.map((name, f) => ({ label: stratumLabel(name), codes: numbersOf(strataKeys[f]!) })),
    ],
    registryOfPattern: Int32Array.from(registryOf),
    told: told.map((own) => cellsIn({ cells: cellColumns(own.map((cell) => ({ ...cell, pattern: 0 }))) })),
    notes: [...notes, ...ofWithheld], notCarried,
  };
}

/** The contract refuses keys of other lists only by their form, so a level that is not known here is refused here. */
function codeOf(covariate: Covariate, key: string | null): number {
  if (key === null) return -1;
  const code = codings[covariate].codeOf(key);
  if (code === null) throw new RangeError(`“${key}” is no level of ${codings[covariate].label}`);
  return code;
}

const stratumLabel = (name: Covariate | Question['strata'][number]): string =>
  (name === 'region' ? 'Region within the registry' : name === 'hospital' ? 'Hospital' : codings[name].label);

/** A number for each text that occurs; −1: not recorded. */
function numbersOf(keys: readonly (string | null)[]): Int32Array {
  const occurring = [...new Set(keys)].filter((key) => key !== null).sort();
  return Int32Array.from(keys, (key) => (key === null ? -1 : occurring.indexOf(key)));
}
