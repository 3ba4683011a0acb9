import type { StudyPlan } from '../../lib/contract/studyPlan';

/** What a group of fields of the plan is given. */
export interface PlanFieldsProps {
  readonly plan: StudyPlan;
  readonly change: (part: Partial<StudyPlan>) => void;
}
