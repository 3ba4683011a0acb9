'use client';
import { labelOf, roleCodes } from '../../../lib/contract/codes';
import { rolesOf, withComparison, withRole } from '../../../lib/contract/editQuestion';
import { comparisons, covariates } from '../../../lib/contract/question';
import type { Recorded } from '../../../lib/contract/recorded';
import { isComparisonRecorded } from '../../../lib/contract/unrecorded';
import { comparisonLabels, inSentence } from '../../../lib/reports/questionWords';
import { capital } from '../../../lib/reports/phrases';
import { Checks, Choice, notRecorded, NumberEntry } from '../../parts/fields';
import { KindChecks, ReasonChecks } from '../../parts/procedureFields';
import { useCovariateOptions } from '../../parts/useCovariateOptions';
import { useWorkbench } from '../../shell/WorkbenchProvider';
import type { FieldProps } from './cohortFields';

export function CompareFields({ question, change }: FieldProps) {
  const { joint, role } = question.cohort, { loaded } = useWorkbench();
  const recorded = (isRecorded: (recorded: Recorded) => boolean) => notRecorded(loaded === null || isRecorded(loaded.recorded));
  return (
    <>
      <Choice
        label="What to compare" chosen={question.compare} options={comparisons.map((key) => ({ key, label: capital(comparisonLabels[key]), ...recorded((of) => isComparisonRecorded(of, key, role)) }))}
        onChange={(key) => { const compare = comparisons.find((c) => c === key); if (compare !== undefined) change(withComparison(question, compare)); }}
      />
      <Choice
        label="Component" chosen={role} options={rolesOf(joint).map(({ code, label }) => ({ key: code, label, ...recorded(({ components }) => components[code] !== undefined) }))}
        help="Design classes, models and materials are those of this component; only procedures that have one are counted."
        onChange={(key) => { const found = roleCodes.find(({ code }) => code === key); if (found !== undefined) change(withRole(question, found.code)); }}
      />
    </>
  );
}

export function AdjustFields({ question, change }: FieldProps) {
  const options = useCovariateOptions(question.compare);
  return <Checks
    label="Adjusted for" chosen={question.adjust} options={options}
    help="Adjust for what was there before surgery and bears on both the choice of implant and revision. Procedures without a record of a covariate are left out of the adjusted model."
    onChange={(keys) => { change({ ...question, adjust: covariates.filter((c) => keys.includes(c)) }); }}
  />;
}

export function OutcomeFields({ question, change }: FieldProps) {
  const { outcome, cohort: { joint, role } } = question;
  const component = inSentence(labelOf(roleCodes, role));
  return (
    <>
      <KindChecks kinds={outcome.kinds} change={(kinds) => { change({ ...question, outcome: { ...outcome, kinds } }); }} />
      <Choice
        label="Component" chosen={outcome.ofRoleOnly ? 'role' : 'any'}
        options={[{ key: 'any', label: 'Any component revised' }, { key: 'role', label: `Only if the ${component} was removed or exchanged` }]}
        onChange={(key) => { change({ ...question, outcome: { ...outcome, ofRoleOnly: key === 'role' } }); }}
      />
      <ReasonChecks joint={joint} reasons={outcome.reasons} change={(reasons) => { change({ ...question, outcome: { ...outcome, reasons } }); }} />
    </>
  );
}

export const HorizonFields = ({ question, change }: FieldProps) => (
  <NumberEntry
    label="Years since surgery to look at" value={question.horizonYears} least={1} most={30} step={1} isRequired help="Follow-up beyond is not used."
    onChange={(value) => { if (value !== null) change({ ...question, horizonYears: value }); }}
  />
);
