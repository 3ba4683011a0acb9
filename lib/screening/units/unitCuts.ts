import { comparisonFactor } from '../../cohort/comparison';
import { earlyInSeries, surgeonBand } from '../../cohort/experience';
import { componentLabel } from '../../cohort/labels';
import { unitFactor } from '../../cohort/unit';
import type { Joint, Role } from '../../contract/codes';
import type { Comparison, Question } from '../../contract/question';
import type { UnitKind } from '../../contract/unitsQuestion';
import { thirdsByVolume } from './peers';
import type { UnitSize } from './unitSizes';
import type { Driver } from './unitsResult';

/** A way to cut a unit's procedures into parts by what is known of each. */
export interface UnitCut {
  readonly name: Exclude<Driver['name'], 'reason'>;
  readonly label: string;
  readonly key: string; // SQL of text
  readonly labelOf: (key: string | null) => string;
  readonly ordered: boolean; // parts in the order of their keys; otherwise the largest first
  readonly note: string | null;
}

/** The component fixed to the bone on either side of the joint. */
const fixedRoles: Record<Joint, readonly Role[]> = {
  shoulder: ['glenoid', 'humeral_stem'], hip: ['acetabular_cup', 'femoral_stem'], knee: ['knee_femoral', 'knee_tibial'],
};

/** `surgeons`: all of the cohort, for the bands of their yearly volume. */
export function unitCuts(kind: UnitKind, question: Question, surgeons: readonly UnitSize[]): readonly UnitCut[] {
  const roles = fixedRoles[question.cohort.joint];
  const by = (name: UnitCut['name'] & Comparison, role: Role, without: string, note: string | null = null): UnitCut => {
    const { label, key, labelOf } = comparisonFactor({ ...question, compare: name, cohort: { ...question.cohort, role } });
    return { name, label, key, labelOf: (of) => (of === null ? without : labelOf(of)), ordered: name === 'period', note };
  };
  const procedure = (name: 'indication' | 'class' | 'period') => by(name, roles[0]!, 'Not recorded');
  return [
    ...roles.map((role) => by('design', role, `Without a ${componentLabel(role)}`)),
    ...roles.map((role) => by('model', role, `Without a ${componentLabel(role)}`)),
    procedure('indication'), procedure('class'), procedure('period'),
    ...(kind === 'hospital' ? [bySurgeon, byVolume(surgeons)] : []),
    byLearning,
  ];
}

const bySurgeon: UnitCut = {
  name: 'surgeon', label: 'Surgeon', key: unitFactor('surgeon').key, labelOf: (key) => key ?? 'Not recorded', ordered: false,
  note: 'The ratios of surgeons are not comparable with each other: each has a case mix of its own.',
};

function byVolume(surgeons: readonly UnitSize[]): UnitCut {
  const third = thirdsByVolume(surgeons), bands = [0, 1, 2].map((band) => surgeons.filter((surgeon) => third.get(surgeon) === band));
  const labels = bands.map((band, i) => {
    const volumes = band.map(({ yearlyVolume }) => yearlyVolume);
    return `${['Lowest', 'Middle', 'Highest'][i]!} third${volumes.length === 0 ? '' : `, ${Math.min(...volumes).toFixed(1)}–${Math.max(...volumes).toFixed(1)} a year`}`;
  });
  return {
    name: 'surgeonVolume',
    label: 'Yearly volume of the surgeon',
    key: surgeonBand(bands.map((band) => band.map(({ code }) => code))),
    labelOf: (key) => (key === null ? 'Not recorded' : labels[Number(key) - 1]!), ordered: true,
    note: 'Thirds of all surgeons of the cohort by procedures in a year with any, wherever they operated.',
  };
}

const byLearning: UnitCut = {
  name: 'learning', label: 'Experience of the surgeon', key: earlyInSeries,
  labelOf: (key) => (key === 'first' ? 'First 20 procedures in the extract' : 'Later procedures'), ordered: true,
  note: 'Counted over all primaries of the joint in the extract; what a surgeon did before or elsewhere is not known.',
};
