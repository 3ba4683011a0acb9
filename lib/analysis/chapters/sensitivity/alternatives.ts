import { eventCode } from '../../../cohort/outcome';
import { codings } from '../../../cohort/covariate';
import type { Covariate, Question } from '../../../contract/question';
import type { AskedCohort } from '../../askedCohort';
import { cellsWhere } from '../../cellsWhere';
import { completeWherePossible } from '../../completeCases';
import { levelCounts } from '../../levelCounts';
import type { NotApplicable, SensitivityLine } from '../sensitivityResult';
import { covariateSets, sameSet } from './covariateSets';
import { variedCohort, withinUnits, type Flag, type VariedCohort } from './variedCohort';

/** One line before it is fitted: the cohort and the adjustment of the question, or others. */
export interface Alternative extends Omit<SensitivityLine, 'result'> {
  readonly compared: AskedCohort | NotApplicable;
  /** Death, and other revisions, compete instead of ending follow-up. */
  readonly competing: boolean;
}

const indicationsShown = 3;
const noWay = (reason: string): NotApplicable => ({ status: 'notApplicable', reason });
const noHospital = noWay('No hospital is recorded.');

/** Every alternative, the question as asked first. */
export async function alternatives(asked: AskedCohort, question: Question): Promise<readonly Alternative[]> {
  const sets = covariateSets(question), varied = await variedCohort(asked, question, sets.flat());
  return [
    line('asked', 'asked', 'As asked', 'What the other lines are held against.', varied.asked),
    line('unadjusted', 'adjustment', 'Unadjusted', 'The same procedures: shows what the adjustment does.', unadjusted(varied)),
    ...sets.map((set) => ofSet(set, varied, question)),
    await within('hospital', asked, question),
    await within('surgeon', asked, question),
    ...indications(varied, question),
    line('firstJoint', 'patients', 'First joint of each patient only', 'Two joints of one patient are not independent.',
      asked.users.patient === 0 ? noWay('No patient is recorded.')
        : only('firstJoint', 1, varied, 'No patient of the cohort had this joint replaced before on the other side.')),
    line('metalBacked', 'implants', 'Without metal-backed components',
      'Metal-backed glenoid components can be revised far more often than others, so that a few of them carry a difference.', withoutMetal(varied, question)),
    line('newModels', 'users', 'Without the first year of each model at each hospital',
      'The first cases with a model are part of a learning curve. Use from before the first procedure in the extract is not known of.',
      asked.users.hospital === 0 ? noHospital : only('newAtHospital', 0, varied, 'Every model was used for longer than a year at its hospital.')),
    withoutLargestUser(varied),
    line('earlier', 'calendar', `Procedures up to ${varied.medianYear}`, eras, only('afterMedianYear', 0, varied, ofOneEra)),
    line('later', 'calendar', `Procedures after ${varied.medianYear}`, eras, only('afterMedianYear', 1, varied, ofOneEra)),
    line('major', 'outcome', 'Major revisions only',
      'Whether modular parts are exchanged may depend on the surgeon more than on the component. Such revisions end follow-up here.', majorOnly(varied, question)),
    { ...line('death', 'outcome', 'Death as a competing event',
      'Those who died stay in the comparison as never to be revised: what patients see, where the other lines say what implants do.', varied.asked), competing: true },
  ];
}

const withoutLargestUser = (varied: VariedCohort): Alternative =>
  line('largestUser', 'users', 'Without the largest hospital user of each group', 'Tells a component from the hospital that uses it most.',
    varied.asked.users.hospital === 0 ? noHospital : only('atLargestUser', 0, varied, 'Nobody is left out.'));

const eras = 'Patients, practice and models change with the calendar.';
const ofOneEra = 'All procedures are of this half of the calendar.';

const line = (
  key: string, family: Alternative['family'], label: string, why: string, compared: Alternative['compared'],
): Alternative => ({ key, family, label, why, compared, competing: false });

function unadjusted({ asked }: VariedCohort): Alternative['compared'] {
  if (asked.adjustments.length + asked.strata.length === 0) return noWay('The question adjusts for nothing.');
  return { ...asked, cohort: completeWherePossible(asked.cohort, asked.adjustments), adjustments: [], strata: [] };
}

function ofSet(set: readonly Covariate[], { asked, adjustment }: VariedCohort, { adjust }: Question): Alternative {
  const label = `Adjusted for ${set.map((covariate) => codings[covariate].label).join(', ')}`;
  return line(`adjusted-${set.join('-')}`, 'adjustment', label, 'Another reasonable choice of covariates.',
    sameSet(set, adjust) ? noWay('This is what was asked.') : { ...asked, adjustments: set.map(adjustment) });
}

async function within(unit: 'hospital' | 'surgeon', asked: AskedCohort, question: Question): Promise<Alternative> {
  const already = question.strata.some((factor) => factor === unit);
  return line(`within-${unit}`, 'adjustment', `Within each ${unit}`, `Only procedures of one ${unit} are compared with each other, whatever its own results.`,
    already ? noWay('This is what was asked.')
      : asked.users[unit] === 0 ? noWay(`No ${unit} is recorded.`) : await withinUnits(asked, question, unit));
}

/** Each of the most frequent indications alone. */
function indications(varied: VariedCohort, { compare }: Question): readonly Alternative[] {
  const { codes } = varied.adjustment('indication');
  const counts = [...levelCounts(varied.asked.cohort, codes)].filter(([code]) => code >= 0).sort(([a, m], [b, n]) => n.procedures - m.procedures || a - b);
  return counts.slice(0, indicationsShown).map(([code]) => {
    const { key, label } = codings.indication.level(code);
    return line(`indication-${key}`, 'patients', `${label} only`, 'The indication leads to a design and to revision; within one it cannot mislead.',
      compare === 'indication' ? noWay('Indications are what is compared.') : restricted(varied.asked, (p) => codes[p] === code, 'It is the only indication.'));
  });
}

const only = (flag: Flag, value: 0 | 1, { asked, flags }: VariedCohort, otherwise: string): Alternative['compared'] =>
  restricted(asked, (p) => flags[flag][p] === value, otherwise);

function withoutMetal(varied: VariedCohort, { cohort: { joint } }: Question): Alternative['compared'] {
  return joint === 'shoulder' ? only('metalBacked', 0, varied, 'No component of the cohort is metal-backed.') : noWay('This is for shoulders.');
}

function majorOnly({ asked, flags }: VariedCohort, { outcome }: Question): Alternative['compared'] {
  if (!outcome.kinds.includes('minor')) return noWay('Only major revisions are asked for.');
  if (!outcome.kinds.includes('major')) return noWay('Only minor revisions are asked for.');
  const { cells, pattern } = asked.cohort;
  const event = cells.event.map((e, i) => (e === eventCode.ofInterest && flags.majorRevision[pattern[i]!] !== 1 ? eventCode.otherRevision : e));
  return { ...asked, cohort: { ...asked.cohort, cells: { ...cells, event } } };
}

/** `otherwise`: the reason where that leaves nobody out. */
function restricted(asked: AskedCohort, keep: (pattern: number) => boolean, otherwise: string): Alternative['compared'] {
  const cohort = cellsWhere(asked.cohort, keep);
  if (cohort.pattern.length === asked.cohort.pattern.length) return noWay(otherwise);
  const left = asked.groups.filter((_, g) => cohort.group.includes(g));
  const reference = asked.groups.find(({ key }) => key === asked.reference)!;
  if (!left.includes(reference)) return noWay(`Nobody of the reference group, ${reference.label}, is left.`);
  return left.length < 2 ? noWay(`Nobody but the reference group, ${reference.label}, is left.`) : { ...asked, cohort };
}
