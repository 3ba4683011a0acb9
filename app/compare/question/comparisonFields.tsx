'use client';
import { labelOf, roleCodes } from '../../../lib/contract/codes';
import { rolesOf, withComparison, withRole } from '../../../lib/contract/editQuestion';
import { comparisons, covariates } from '../../../lib/contract/question';
import { comparisonLabels, covariateLabels, inSentence } from '../../../lib/reports/questionWords';
import { capital } from '../../../lib/reports/phrases';
import { Checks, Choice, NumberEntry } from '../../parts/fields';
import { KindChecks, ReasonChecks } from '../../parts/procedureFields';
import type { FieldProps } from './cohortFields';

export function CompareFields({ question, change }: FieldProps) {
  const { joint, role } = question.cohort;
  return (
    <>
      <Choice
        label="What to compare" chosen={question.compare} options={comparisons.map((key) => ({ key, label: capital(comparisonLabels[key]) }))}
        onChange={(key) => { const compare = comparisons.find((c) => c === key); if (compare !== undefined) change(withComparison(question, compare)); }}
      />
      <Choice
        label="Component" chosen={role} options={rolesOf(joint).map(({ code, label }) => ({ key: code, label }))}
        help="Design classes, models and materials are those of this component; only procedures that have one are counted."
        onChange={(key) => { const found = roleCodes.find(({ code }) => code === key); if (found !== undefined) change(withRole(question, found.code)); }}
      />
    </>
  );
}

export const AdjustFields = ({ question, change }: FieldProps) => (
  <Checks
    label="Adjusted for" chosen={question.adjust} options={covariates.filter((key) => key !== question.compare).map((key) => ({ key, label: capital(covariateLabels[key]) }))}
    help="Adjust for what was there before surgery and bears on both the choice of implant and revision. Procedures without a record of a covariate are left out of the adjusted model."
    onChange={(keys) => { change({ ...question, adjust: covariates.filter((c) => keys.includes(c)) }); }}
  />
);

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
