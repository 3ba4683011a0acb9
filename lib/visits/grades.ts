import type { GradedMeasure } from '../contract/measures';
import { probabilityHigher } from '../stats/ordinal/probabilityHigher';
import { proportionalOdds } from '../stats/regression/proportionalOdds';
import { comparedGroups, valueAt, type AskedVisits, type AskedWindow } from './askedVisits';
import { notEstimable, tested, untested } from './estimates';
import { adjustedLabels, leftOutNote, modelRows, noReference } from './modelRows';
import type { GradeComparison, GradesAtVisit } from './visitsResult';

/** Ordered grades, each field once. */
export function gradesAtVisits(asked: AskedVisits): readonly GradesAtVisit[] {
  const graded = asked.measures.filter((m): m is GradedMeasure => m.kind === 'grade' && m.grades.length > 2)
    .filter((m, i, all) => all.findIndex((other) => other.field === m.field) === i);
  return graded.flatMap((measure) => asked.windows.flatMap((window) => gradesAt(asked, measure, window)));
}

function gradesAt(asked: AskedVisits, measure: GradedMeasure, window: AskedWindow): readonly GradesAtVisit[] {
  const { data: { procedures }, groups, reference, question: { confidence } } = asked;
  const assessed = Int32Array.from({ length: procedures.size }, (_, p) => p).filter((p) => !Number.isNaN(valueAt(asked, measure.name, window.index, p)));
  if (assessed.length === 0) return [];
  const counts = groups.map(() => measure.grades.map(() => 0));
  for (const p of assessed) counts[procedures.group[p]!]![valueAt(asked, measure.name, window.index, p)]! += 1;

  const rows = modelRows(asked, assessed), grade = Int32Array.from(rows.kept, (row) => valueAt(asked, measure.name, window.index, assessed[row]!));
  const used = [...new Set(grade)].sort((a, b) => a - b), y = grade.map((g) => used.indexOf(g)), cuts = used.length - 1, size = cuts + rows.names.length;
  const impossible = groups.length < 2 ? 'there is only one group' : rows.ofReference === 0 ? noReference : cuts < 1 ? 'everybody has the same grade' : null;
  const fit = impossible === null ? proportionalOdds(y, rows, used.length) : notEstimable(impossible);
  const comparisons = comparedGroups(asked).map(({ key, index }, k): GradeComparison => {
    const higher = probabilityHigher(counts[index]!, counts[reference]!, confidence), at = cuts + k;
    const ratio = fit.status === 'ok' ? tested(fit.coefficient[at]!, fit.covariance[at * size + at]!, confidence, { ratio: true }) : untested(fit.reason);
    return { group: key, against: groups[reference]!.key, higher, oddsRatio: ratio.estimate, p: ratio.p };
  });
  const empty = measure.grades.length - used.length;
  return [{
    measure: measure.name, label: measure.label, section: measure.section, window: window.code,
    levels: measure.grades.map(({ code, label }) => ({ code, label })),
    counts,
    comparisons,
    proportionalOdds: fit.status === 'ok' ? fit.proportional : fit,
    adjustedFor: adjustedLabels(asked),
    notes: [...leftOutNote(assessed.length - rows.kept.length, 'procedures'), ...(empty > 0 ? ['Grades that nobody has are left out of the model.'] : [])],
  }];
}
