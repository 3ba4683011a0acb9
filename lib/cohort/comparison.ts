import {
  designClassCodes, fixationCodes, indicationCodes, labelOf, materialCodes, procedureClassCodes, sexCodes, type Code,
} from '../contract/codes';
import { othersKey, type Comparison, type Question } from '../contract/question';
import { quoteName, quoteText } from '../engine/database';
import { componentColumn } from '../engine/followupTable';
import { componentLabel, fixationLabel, periodLabel } from './labels';
import type { Condition } from './conditions';
import { periodCode } from './covariate';
import { enumCode } from './sql';

/** How a comparison tells its groups apart. */
export interface ComparisonFactor {
  /** Heading of the groups. */
  readonly label: string;
  /** SQL of a whole number of at least 0, null where not recorded. */
  readonly code: string;
  /** SQL of the group's key, which the question names groups by. */
  readonly key: string;
  readonly labelOf: (key: string) => string;
  /** The column of `followup` that alone decides code and key, where it is one column. */
  readonly column?: string;
}

/** A level of the comparison that takes part. */
export interface ComparedGroup {
  readonly code: number;
  readonly key: string;
  readonly label: string;
}

const ofColumn = (label: string, column: string, codes: readonly Code[]): ComparisonFactor => ({
  label,
  code: enumCode(column),
  key: `${quoteName(column)}::VARCHAR`,
  labelOf: (key) => labelOf(codes, key),
  column,
});

/** How the question tells its groups apart: level by level, or those that it names from all others. */
export function comparisonFactor(question: Question): ComparisonFactor {
  const factor = factorOf(question);
  return question.withOthers ? namedAndOthers(factor, question.groups) : factor;
}

/** The groups named are numbered from 1; 0 are all others of which the level is recorded. */
function namedAndOthers({ label, code, key, labelOf: labelOfLevel, ...factor }: ComparisonFactor, named: readonly string[]): ComparisonFactor {
  const oneOfEach = (told: (level: string, number: number) => string, others: string) =>
    `CASE ${named.map((level, i) => `WHEN (${key}) = ${quoteText(level)} THEN ${told(level, i + 1)}`).join(' ')} WHEN ${code} IS NOT NULL THEN ${others} END`;
  return {
    ...factor,
    label,
    code: oneOfEach((_, number) => `${number}`, '0'),
    key: oneOfEach((level) => quoteText(level), quoteText(othersKey)),
    labelOf: (level) => (level === othersKey ? 'All others' : labelOfLevel(level)),
  };
}

function factorOf({ compare, cohort: { joint, role } }: Question): ComparisonFactor {
  const factors: Record<Comparison, () => ComparisonFactor> = {
    design: () => ofColumn(`Design class of the ${componentLabel(role)}`, componentColumn(role, 'design'), designClassCodes),
    model: () => ofColumn(`Model of the ${componentLabel(role)}`, componentColumn(role, 'model'), []),
    material: () => ofColumn(`Material of the ${componentLabel(role)}`, componentColumn(role, 'material'), materialCodes),
    proximal_fixation: () => ofColumn(fixationLabel(joint, 'proximal'), 'proximal_fixation', fixationCodes),
    distal_fixation: () => ofColumn(fixationLabel(joint, 'distal'), 'distal_fixation', fixationCodes),
    class: () => ofColumn('Class', 'class', procedureClassCodes),
    indication: () => ofColumn('Indication', 'indication', indicationCodes),
    sex: () => ofColumn('Sex', 'sex', sexCodes),
    period: () => ({
      label: 'Period of the procedure',
      code: periodCode,
      key: `(${periodCode} * 5 + 1950) || '-' || (${periodCode} * 5 + 1954)`,
      labelOf: periodLabel,
      column: 'year',
    }),
  };
  return factors[compare]();
}

/** The last two steps of the way to the cohort: the comparison's level is recorded, and is one of those compared. */
export const comparedConditions = ({ column, ...factor }: ComparisonFactor, groups: readonly ComparedGroup[]): readonly Condition[] => [
  { label: `${factor.label} recorded`, sql: `${factor.code} IS NOT NULL`, params: [], ...(column !== undefined && { column }) },
  {
    label: `In a compared group: ${groups.map((g) => g.label).join(', ')}`,
    sql: `${factor.code} IN (${groups.map(() => '?').join(', ')})`,
    params: groups.map((g) => g.code),
    ...(column !== undefined && { column }),
  },
];
