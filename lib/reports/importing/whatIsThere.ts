import type { MappableTable } from '../../contract/mapping';
import { mappedFields } from './openPoints';
import type { Draft } from './draft';

/** Whether the least that answers a question is there, and what can't be said without the rest; finished sentences. */
export interface WhatIsThere {
  readonly isEnough: boolean;
  readonly there: readonly string[];
  readonly missing: readonly string[]; // of the least
  readonly without: readonly string[]; // what pages won't be able to say
}

export function whatIsThere(draft: Pick<Draft, 'mapping'>): WhatIsThere {
  const mapped = mappedFields(draft);
  const has = (table: MappableTable, ...fields: readonly string[]): boolean => fields.some((name) => mapped.some((m) => m.table.table === table && m.field.name === name));
  const least: readonly (readonly [isThere: boolean, words: string])[] = [
    [has('procedures', 'procedure_id'), 'a key of each procedure'],
    [has('procedures', 'procedure_date'), 'its day'],
    [has('procedures', 'joint'), 'its joint'],
    [has('procedures', 'class', 'indication', 'sex', 'hospital_id', 'approach', 'proximal_fixation', 'distal_fixation') || has('components', 'design_class', 'model_code'), 'something to group by: a class, an indication, a design, a model, a hospital'],
    [has('revisions', 'revision_date') || has('procedures', 'follow_up_end'), 'the day of re-operations, or the last day of follow-up'],
    ...(has('revisions', 'revision_date') ? [[has('revisions', 'kind'), 'whether a re-operation changed a component'] as const] : []),
  ];
  const kindUnknown = mapped.some(({ field, from }) => field.name === 'kind' && 'constant' in from && from.constant === 'unspecified');
  const rest: readonly (readonly [isThere: boolean, words: string])[] = [
    [has('revisions', 'revision_date'), 'Without re-operations nothing counts as revised.'],
    [!has('revisions', 'revision_date') || has('revisions', 'procedure_id') || (has('revisions', 'patient_id') && has('revisions', 'side')), 'Re-operations can be linked to their primary neither by its key nor by patient, joint and side.'],
    [!has('revisions', 'patient_id') || !has('revisions', 'side') || has('revisions', 'joint'), 'Re-operations do not say the joint: those that do not name their primary can’t be linked by patient, joint and side, and are set aside.'],
    [!kindUnknown, 'Without the kind of re-operation, revisions of fixed and of modular parts can’t be told apart.'],
    [has('revisions', 'reasons'), 'Without reasons, no page can say why joints were revised.'],
    [has('components', 'design_class', 'model_code'), 'Without components, designs and models can’t be compared or screened.'],
    [!has('components', 'design_class', 'model_code') || has('components', 'model_code'), 'Without the model of components, models can’t be compared or screened.'],
    [has('procedures', 'age_years') && has('procedures', 'sex'), 'Without age and sex, ratios and expected numbers are not adjusted for them.'],
    [has('procedures', 'indication'), 'Without the indication, case mix can’t be shown or allowed for.'],
    [has('procedures', 'hospital_id') || has('procedures', 'surgeon_id'), 'Without hospital or surgeon, the pages Our unit and Over time have no units.'],
    [has('procedures', 'patient_id'), 'Without a pseudonym of the patient, two sides of one person and deaths can’t be linked.'],
    [has('deaths', 'death_date'), 'Without deaths, patients count as at risk until the closing date, and what happens as patients live can’t be said.'],
  ];
  return {
    isEnough: least.every(([isThere]) => isThere),
    there: least.filter(([isThere]) => isThere).map(([, words]) => words),
    missing: least.filter(([isThere]) => !isThere).map(([, words]) => words),
    without: rest.filter(([isThere]) => !isThere).map(([, words]) => words),
  };
}
