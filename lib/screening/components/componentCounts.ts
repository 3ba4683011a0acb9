import { cohortCells } from '../../analysis/cohortCells';
import { patternCounts } from '../../analysis/levelCounts';
import { rateOf } from '../../analysis/rate';
import { levelSizes } from '../../analysis/rows/levelSizes';
import { comparisonFactor } from '../../cohort/comparison';
import { cohortConditions } from '../../cohort/conditions';
import { codings } from '../../cohort/covariate';
import { enumCode } from '../../cohort/sql';
import { codesOf, designClassCodes, type Role } from '../../contract/codes';
import type { Comparator, ScreeningQuestion } from '../../contract/screeningQuestion';
import type { Database } from '../../engine/database';
import { componentColumn } from '../../engine/followupTable';
import { eventTables, numberAtRisk, type EventTable } from '../../stats/eventTable';
import { tableExposure } from '../../stats/rates';
import { taken } from '../../stats/subset';
import { revisedAgainst, tableReference } from '../standardisation/tableReference';
import type { ComponentCounts } from './componentScreening';
import { roleQuestion, settingsOf } from './componentQuestion';
import type { Component, ScreenedModel } from './screeningResult';

/** A model of the role with what is counted of it. */
export interface CountedComponent extends Component, ComponentCounts, Pick<ScreenedModel, 'componentYears' | 'per100'> {}

/** What is counted of a role. */
export interface RoleCounts {
  readonly components: readonly CountedComponent[];
  /** Procedures with a component of the role of which the model or its kind is not recorded. */
  readonly notScreened: number;
}

/**
 * Every model of a role, by kind and code. What its revisions came from is the number expected under one hazard for all of its kind that are
 * compared, each followed for as long as it was (Nelson–Aalen; Berry 1983, Biometrics 39:173): unlike component-years it allows for unlike
 * lengths of follow-up. Empty where no procedure has such a component.
 */
export async function componentCounts(database: Database, question: ScreeningQuestion, role: Role): Promise<RoleCounts> {
  const { tables, components, ofKinds, kindOf, notScreened } = await componentTables(database, question, role);
  const references = ofKinds.map(tableReference), { atRiskDays } = settingsOf(question);
  return { notScreened, components: components.map((component, c): CountedComponent => {
    const table = tables[c]!, { observed, expected } = revisedAgainst(references[kindOf[c]!]!, table);
    const { events, componentYears, per100 } = rateOf(component.model, tableExposure(table), question.criteria.confidence);
    return {
      ...component,
      key: component.class === null ? component.model : `${component.model} ${component.class}`,
      kind: kindBy(question.comparator, component),
      procedures: table.procedures,
      atRisk: numberAtRisk(table, atRiskDays),
      ...(expected > 0 ? { observed, exposure: expected } : { observed: events, exposure: 0 }),
      componentYears, per100,
      flaggedAtLooks: question.earlier.filter(({ model }) => model === component.model).map(({ look }) => look).sort((a, b) => a - b),
      apart: isApart(question, component),
    };
  }) };
}

interface ComponentTables {
  readonly components: readonly Component[];
  readonly tables: readonly EventTable[]; // competing events end follow-up
  /** Per component: its kind. */
  readonly kindOf: readonly number[];
  /** Per kind: those that others are held against. */
  readonly ofKinds: readonly EventTable[];
  readonly notScreened: number;
}

/** One reduction of the role: what of a pattern is not recorded tells who is not screened. */
async function componentTables(database: Database, question: ScreeningQuestion, role: Role): Promise<ComponentTables> {
  const asked = roleQuestion(question, role), factor = comparisonFactor(asked), conditions = cohortConditions(asked.cohort, asked.horizonYears);
  const groups = (await levelSizes(database, conditions, factor)).map(({ code, key }) => ({ code, key, label: key })), byClass = question.comparator === 'roleAndClass';
  const factors = [{ code: enumCode(componentColumn(role, 'design')), column: componentColumn(role, 'design') }, ...(byClass ? [codings.class] : [])];
  const { cohort, codes: [designOf, classOf] } = await cohortCells(database, conditions, factor, groups, factors, asked);
  const ofPattern = Array.from(cohort.groupOfPattern, (g, p): Component | null => {
    const design = codesOf(designClassCodes)[designOf![p]!] ?? null, classCode = byClass ? classOf![p]! : -1;
    if (g < 0 || (question.comparator === 'design' && design === null) || (byClass && classCode < 0)) return null;
    return { role, model: groups[g]!.key, design, class: byClass ? codings.class.level(classCode).key : null };
  });
  const components = inOrder(ofPattern.filter((component) => component !== null)), placeOf = new Map(components.map((component, c) => [keyOf(component), c]));
  const componentOf = ofPattern.map((component) => (component === null ? -1 : placeOf.get(keyOf(component))!));
  const kinds = [...new Set(components.map((component) => kindBy(question.comparator, component)))], kindOf = components.map((component) => kinds.indexOf(kindBy(question.comparator, component)));
  const byPattern = (numberOf: (component: number) => number, groupCount: number): readonly EventTable[] => {
    const ofPatterns = Int32Array.from(componentOf, (c) => (c < 0 ? -1 : numberOf(c)));
    return eventTables(cohort.cells, taken(ofPatterns, cohort.pattern, new Int32Array(cohort.pattern.length)), groupCount);
  };
  const tables = byPattern((c) => c, components.length), all = patternCounts(cohort).procedures.reduce((sum, n) => sum + n, 0);
  return {
    components, tables, kindOf,
    ofKinds: byPattern((c) => (isApart(question, components[c]!) ? -1 : kindOf[c]!), kinds.length),
    notScreened: tables.reduce((left, { procedures }) => left - procedures, all),
  };
}

/** It is left out of what others are held against. */
const isApart = ({ exceptModels }: ScreeningQuestion, { model }: Component): boolean => exceptModels.includes(model);

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
