import { cohortCells, type CohortCells } from '../../analysis/cohortCells';
import { mergeCells } from '../../analysis/mergeCells';
import { rateOf } from '../../analysis/rate';
import { levelSizes } from '../../analysis/rows/levelSizes';
import { comparisonFactor } from '../../cohort/comparison';
import { cohortConditions } from '../../cohort/conditions';
import { codings } from '../../cohort/covariate';
import { allOf, enumCode, type Fragment } from '../../cohort/sql';
import { codesOf, designClassCodes, type Role } from '../../contract/codes';
import type { Comparator, ScreeningQuestion } from '../../contract/screeningQuestion';
import { quoteName, type Database } from '../../engine/database';
import { componentColumn } from '../../engine/followupTable';
import type { Cells } from '../../stats/cells';
import { cox } from '../../stats/cox/cox';
import { eventTable, numberAtRisk } from '../../stats/eventTable';
import { indexesByGroup, subset } from '../../stats/subset';
import { expectedRevisions } from '../standardisation/expectedRevisions';
import { referenceHazard } from '../standardisation/referenceHazard';
import type { ComponentCounts } from './componentScreening';
import { roleQuestion, settingsOf } from './componentQuestion';
import type { Component, ScreenedModel } from './screeningResult';

/** A model of the role with what is counted of it. */
export interface CountedComponent extends Component, ComponentCounts, Pick<ScreenedModel, 'componentYears' | 'per100'> {}

/**
 * Every model of a role, by kind and code. What its revisions came from is the number expected under one hazard for all of its kind that are
 * compared, each followed for as long as it was (Nelson–Aalen; Berry 1983, Biometrics 39:173): unlike component-years it allows for unlike
 * lengths of follow-up. Empty where no procedure has such a component.
 */
export async function componentCounts(database: Database, question: ScreeningQuestion, role: Role): Promise<readonly CountedComponent[]> {
  const { componentOfCell, components, cells } = await componentCells(database, question, role);
  const kindOf = (component: Component) => kindBy(question.comparator, component), kinds = [...new Set(components.map(kindOf))], isApart = ({ model }: Component) => question.exceptModels.includes(model);
  const kindOfComponent = components.map((component) => kinds.indexOf(kindOf(component)));
  const exposures = exposureOf({ ...cells, stratum: componentOfCell.map((c) => kindOfComponent[c]!) }, componentOfCell, components.map(isApart));
  const { atRiskDays } = settingsOf(question);
  return indexesByGroup(componentOfCell, components.length).map((indexes, c): CountedComponent => {
    const component = components[c]!, own = subset(cells, indexes), table = eventTable(own);
    const { events, componentYears, per100 } = rateOf(component.model, own, question.criteria.confidence);
    return {
      ...component,
      key: component.class === null ? component.model : `${component.model} ${component.class}`,
      kind: kindOf(component),
      procedures: table.procedures,
      atRisk: numberAtRisk(table, atRiskDays),
      ...(exposures[c]!.exposure > 0 ? exposures[c]! : { observed: events, exposure: 0 }),
      componentYears, per100,
      flaggedAtLooks: question.earlier.filter(({ model }) => model === component.model).map(({ look }) => look).sort((a, b) => a - b),
      apart: isApart(component),
    };
  });
}

/** A model is held against others of its kind only where its kind is recorded. */
const kindRecorded = (comparator: Comparator, role: Role): readonly Fragment[] => (comparator === 'role' ? []
  : [{ sql: `${comparator === 'design' ? quoteName(componentColumn(role, 'design')) : 'class'} IS NOT NULL`, params: [] }]);

/** Procedures with a component of the role that are not screened, as its model or its kind is not recorded. */
export async function notScreened(database: Database, question: ScreeningQuestion, role: Role): Promise<number> {
  const asked = roleQuestion(question, role), { code } = comparisonFactor(asked), kind = allOf(kindRecorded(question.comparator, role));
  const where = allOf(cohortConditions(asked.cohort, asked.horizonYears));
  const row = await database.query({ sql: `SELECT count(*)::INTEGER AS n FROM followup WHERE ${where.sql} AND NOT (${code} IS NOT NULL AND ${kind.sql})`, params: [...where.params, ...kind.params] });
  return row.numbers('n')[0] ?? 0;
}

interface ComponentCells {
  readonly cells: Cells; // competing events end follow-up
  readonly componentOfCell: Int32Array;
  readonly components: readonly Component[];
}

async function componentCells(database: Database, question: ScreeningQuestion, role: Role): Promise<ComponentCells> {
  const asked = roleQuestion(question, role), factor = comparisonFactor(asked), conditions = [...cohortConditions(asked.cohort, asked.horizonYears), ...kindRecorded(question.comparator, role)];
  const groups = (await levelSizes(database, conditions, factor)).map(({ code, key }) => ({ code, key, label: key }));
  if (groups.length === 0) return { cells: { exit: new Float64Array(0), event: new Uint8Array(0), count: new Float64Array(0) }, componentOfCell: new Int32Array(0), components: [] };
  const byClass = question.comparator === 'roleAndClass';
  const factors = [{ code: enumCode(componentColumn(role, 'design')), column: componentColumn(role, 'design') }, ...(byClass ? [codings.class] : [])];
  const { cohort, codes: [designOf, classOf] } = await cohortCells(database, conditions, factor, groups, factors, asked);
  const ofPattern = Array.from(cohort.groupOfPattern, (g, p): Component => ({
    role, model: groups[g]!.key,
    design: codesOf(designClassCodes)[designOf![p]!] ?? null,
    class: byClass ? codings.class.level(classOf![p]!).key : null,
  }));
  const components = inOrder(ofPattern), placeOf = new Map(components.map((component, c) => [keyOf(component), c]));
  const merged = mergeCells(numberedBy(cohort, ofPattern.map((component) => placeOf.get(keyOf(component))!)), Int32Array.from(components.keys()));
  return { cells: merged.cells, componentOfCell: merged.pattern, components };
}

/** The cells with the component as their pattern. */
const numberedBy = (cohort: CohortCells, componentOfPattern: readonly number[]): CohortCells => ({
  ...cohort,
  pattern: cohort.pattern.map((p) => componentOfPattern[p]!),
  groupOfPattern: Int32Array.from({ length: Math.max(...componentOfPattern) + 1 }, (_, c) => cohort.groupOfPattern[componentOfPattern.indexOf(c)]!),
});

const keyOf = ({ model, class: ofClass }: Component): string => JSON.stringify([model, ofClass]);

/** Components of one kind are each other's comparators. */
function kindBy(comparator: Comparator, { role, design, class: ofClass }: Component): string {
  const parts: Record<Comparator, readonly (string | null)[]> = { role: [role], design: [role, design], roleAndClass: [role, ofClass] };
  return parts[comparator].join(' ');
}

/** Each component once, by design, class and code: never in the order of a result. */
function inOrder(components: readonly Component[]): readonly Component[] {
  const byKey = new Map(components.map((component) => [keyOf(component), component]));
  const place = ({ design, class: ofClass }: Component) => [codesOf(designClassCodes).findIndex((code) => code === design), ofClass ?? ''] as const;
  return [...byKey.values()].sort((a, b) => {
    const [designA, classA] = place(a), [designB, classB] = place(b);
    return designA - designB || classA.localeCompare(classB) || a.model.localeCompare(b.model, 'en', { numeric: true });
  });
}

/** Revisions, as far as the others of the kind reach, and what they came from; strata of the cells are the kinds. */
function exposureOf(cells: Cells, component: Int32Array, apart: readonly boolean[]): readonly { readonly observed: number; readonly exposure: number }[] {
  const sums = apart.map(() => ({ observed: 0, exposure: 0 }));
  const others = Int32Array.from(component.keys()).filter((i) => !apart[component[i]!]!), none = { names: [], values: new Float64Array(0), pattern: new Int32Array(0) };
  if (others.length === 0) return sums;
  const fit = cox(subset(cells, others), none, { ties: 'breslow' });
  const reference = fit.status === 'ok' ? referenceHazard(fit) : fit;
  if (reference.status !== 'ok') return sums; // nobody of the role was revised
  const { observed, expected } = expectedRevisions(reference, cells, none);
  component.forEach((c, i) => {
    sums[c]!.observed += observed[i]!;
    sums[c]!.exposure += expected[i]!;
  });
  return sums;
}
