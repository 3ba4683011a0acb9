import { atTime } from '../../analysis/atTime';
import type { GroupSurvival } from '../../analysis/groupSurvival';
import { daysOfYears } from '../../cohort/days';
import { jointCodes, labelOf } from '../../contract/codes';
import type { Question } from '../../contract/question';
import type { Benchmark } from '../../contract/unitsQuestion';
import type { NotEstimable } from '../../stats/cells';
import { percentAt } from '../../stats/cumulativePercentRevision';
import { benchmarkVerdict } from '../benchmark/benchmarkVerdict';
import { contributing } from '../benchmark/contributing';
import { proceduresNeeded } from '../benchmark/proceduresNeeded';
import type { OwnRows } from './ownRows';
import { subset, taken } from '../../stats/subset';
import type { UnitBenchmark } from './unitsResult';

/** The unit's cumulative percent revision, as it is, against a bar set beforehand. */
export function unitBenchmark(
  survival: GroupSurvival, { all, hospital }: Pick<OwnRows, 'all' | 'hospital'>, benchmark: Benchmark, question: Question,
): UnitBenchmark {
  const { atYears, joint, source, setIn } = benchmark, { confidence, horizonYears, cohort } = question;
  const { atRisk, estimate } = atTime(survival, atYears, question), day = daysOfYears(atYears);
  const jointOf = (code: string): string => labelOf(jointCodes, code).toLowerCase();
  const verdict = joint !== cohort.joint
    ? otherJoint(jointOf(joint), jointOf(cohort.joint))
    : 'status' in estimate ? estimate : benchmarkVerdict(percentAt(survival.km, survival.stop, day, { confidence }), benchmark);
  const placed = Int32Array.from(hospital.keys()).filter((i) => hospital[i]! >= 0);
  const hospitals = contributing(subset(all, placed), taken(hospital, placed, new Int32Array(placed.length)), day).hospitalsAtRisk;
  return {
    verdict, estimate, atRisk, hospitals, proceduresNeeded: proceduresNeeded(benchmark),
    notes: [
      `Benchmark: ${benchmark.percent} % at ${atYears} years with a margin of ${benchmark.margin} points, set for the ${jointOf(joint)} in ${setIn} (${source}).`,
      'The percent is not adjusted: a unit with other patients than those the benchmark was made for can be above or below it for that reason.',
      ...(atYears > horizonYears ? [`Follow-up is looked at for ${horizonYears} years only.`] : []),
    ],
  };
}

const otherJoint = (setFor: string, ours: string): NotEstimable =>
  ({ status: 'notEstimable', reason: `the benchmark was set for the ${setFor}; a threshold belongs to its joint, and these are procedures of the ${ours}` });
