import { labelOf } from '../contract/codes';
import * as codes from '../contract/codes';
import type { Comparison, Covariate, Outcome, ProcedureCohort, Question } from '../contract/question';
import { formatList, formatSpan } from './format';

/** A label inside a sentence: `Osteoarthritis` → `osteoarthritis`, `ASA grade` stays. */
export const inSentence = (label: string): string => (/^[A-ZÄÖÜ][a-z]/.test(label) ? `${label[0]?.toLowerCase() ?? ''}${label.slice(1)}` : label);

export const comparisonLabels: Readonly<Record<Comparison, string>> = {
  design: 'design classes', model: 'models', material: 'materials', proximal_fixation: 'kinds of proximal fixation',
  distal_fixation: 'kinds of distal fixation', class: 'classes of procedure', indication: 'indications', sex: 'women and men',
  period: 'periods of surgery',
};

export const covariateLabels: Readonly<Record<Covariate, string>> = {
  age: 'age (bands)', age_linear: 'age (per 10 years)', sex: 'sex', indication: 'indication', asa: 'ASA grade', bmi: 'body mass index',
  period: 'period of surgery', class: 'class of procedure', approach: 'approach',
};

export const strataLabels: Readonly<Record<Question['strata'][number], string>> = {
  sex: 'sex', indication: 'indication', period: 'period of surgery', class: 'class of procedure', region: 'region', hospital: 'hospital',
};

export const clusterLabels: Readonly<Record<Question['cluster'], string>> = {
  none: 'none', patient: 'patient (both sides of one person)', hospital: 'hospital', surgeon: 'surgeon',
};

/** The procedures that count, in parts of a sentence. */
export interface CohortWords {
  readonly classes: string;
  readonly joint: string;
  readonly indications: string;
  readonly patients: string;
  readonly years: string;
}

/** The parts of the question that read as a sentence and can be edited one by one. */
export interface QuestionWords extends CohortWords {
  readonly implants: string;
  readonly compare: string;
  readonly groups: string;
  readonly adjust: string;
  readonly outcome: string;
  readonly horizon: string;
}

const listed = (list: readonly codes.Code[], chosen: readonly string[], any: string): string =>
  chosen.length === 0 ? any : formatList(chosen.map((code) => inSentence(labelOf(list, code))), 'or');

const range = (from: number | null, to: number | null, any: string, word: (text: string) => string): string => {
  if (from === null && to === null) return any;
  if (from === to) return word(String(from));
  if (from === null) return word(`up to ${String(to)}`);
  return to === null ? word(`from ${from}`) : word(`${from}–${to}`);
};

function patients({ sexes, minAge, maxAge }: ProcedureCohort): string {
  const who = sexes.length === 1 ? inSentence(labelOf(codes.sexCodes, sexes[0] ?? '')) : 'women and men';
  return `${who} ${range(minAge, maxAge, 'of any age', (years) => `aged ${years}`)}`;
}

function implants({ designs, models, exceptModels, proximalFixations, distalFixations }: Question['cohort']): string {
  const parts = [
    ...(designs.length > 0 ? [listed(codes.designClassCodes, designs, '')] : []),
    ...(models.length > 0 ? [models.length > 3 ? `${models.length} chosen models` : `model ${formatList(models, 'or')}`] : []),
    ...(exceptModels.length > 0 ? [`without ${exceptModels.length > 3 ? `${exceptModels.length} chosen models` : formatList(exceptModels)}`] : []),
    ...(proximalFixations.length > 0 ? [`proximal side ${listed(codes.fixationCodes, proximalFixations, '')}`] : []),
    ...(distalFixations.length > 0 ? [`distal side ${listed(codes.fixationCodes, distalFixations, '')}`] : []),
  ];
  return parts.length === 0 ? 'any implant' : parts.join('; ');
}

export const cohortWords = (cohort: ProcedureCohort): CohortWords => ({
  classes: listed(codes.procedureClassCodes, cohort.classes, 'all'),
  joint: inSentence(labelOf(codes.jointCodes, cohort.joint)),
  indications: listed(codes.indicationCodes, cohort.indications, 'any indication'),
  patients: patients(cohort),
  years: range(cohort.firstYear, cohort.lastYear, 'any year', (years) => years),
});

/** The event in words that fit after “revised”: `for any reason`, `for infection`. */
export function outcomeWords({ cohort: { role }, outcome: { kinds, reasons, ofRoleOnly } }: { readonly cohort: Pick<Question['cohort'], 'role'>; readonly outcome: Outcome }): string {
  const reason = reasons.length === 0 ? 'any reason' : reasons.length > 3 ? `${reasons.length} chosen reasons` : listed(codes.reasonCodes, reasons, '');
  const kind = kinds.length > 1 ? '' : kinds[0] === 'major' ? ', a fixed component changed' : ', modular parts only';
  return `for ${reason}${kind}${ofRoleOnly ? `, the ${inSentence(labelOf(codes.roleCodes, role))} removed or exchanged` : ''}`;
}

/** What a percentage of 1 − Kaplan–Meier supposes: it is net of death and of what else ends follow-up. */
export const netWords = ({ outcome: { kinds, reasons, ofRoleOnly } }: { readonly outcome: Outcome }): string =>
  (reasons.length > 0 || ofRoleOnly || kinds.length === 1 ? 'if patients neither died nor had another kind of revision' : 'if patients did not die');

const compared = ({ compare, cohort: { role } }: Question): string => {
  const ofComponent = compare === 'design' || compare === 'model' || compare === 'material';
  return ofComponent ? `${comparisonLabels[compare]} of the ${inSentence(labelOf(codes.roleCodes, role))}` : comparisonLabels[compare];
};

const groupWords = ({ groups, withOthers }: Question, groupLabel: (key: string) => string): string => {
  if (groups.length === 0) return 'the largest groups';
  const named = groups.length > 4 ? `${groups.length} chosen groups` : formatList(groups.map((key) => inSentence(groupLabel(key))));
  return withOthers ? `${named} against all others as one group` : named;
};

/** `groupLabel` names a level of the comparison. */
export function questionWords(question: Question, groupLabel: (key: string) => string): QuestionWords {
  const { cohort, adjust, horizonYears } = question;
  return {
    ...cohortWords(cohort),
    implants: implants(cohort),
    compare: compared(question),
    groups: groupWords(question, groupLabel),
    adjust: adjust.length === 0 ? 'nothing' : formatList(adjust.map((c) => covariateLabels[c])),
    outcome: outcomeWords(question),
    horizon: formatSpan(horizonYears),
  };
}

/** The whole question as one sentence, for the head of a file. */
export function questionSentence(question: Question, groupLabel: (key: string) => string): string {
  const w = questionWords(question, groupLabel);
  return `Among ${w.classes} replacements of the ${w.joint} for ${w.indications}, in ${w.patients}, operated in ${w.years}, with ${w.implants}: `
    + `how do ${w.compare} compare (${w.groups}), adjusted for ${w.adjust}, counting revision ${w.outcome}, within ${w.horizon}?`;
}
