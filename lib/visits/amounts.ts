import type { AmountMeasure } from '../contract/measures';
import { baselineWindow } from '../contract/visitWindows';
import { leastSquares } from '../stats/regression/leastSquares';
import { allWindows, comparedGroups, dueAt, valueAt, type AskedVisits, type AskedWindow } from './askedVisits';
import { meanOf, notEstimable, percentOf, pointsBetween, tested, untested } from './estimates';
import { adjustedLabels, leftOutNote, modelRows, noReference } from './modelRows';
import { ifLost } from './signs';
import type { Amount, AmountAtVisit, AmountDifference } from './visitsResult';

export const baseline = allWindows.find(({ code }) => code === baselineWindow)!;
export const hasBaseline = (asked: AskedVisits, measure: AmountMeasure): boolean =>
  measure.hasBaseline && asked.data.procedures.group.some((_, p) => !Number.isNaN(valueAt(asked, measure.name, baseline.index, p)));

/** Measured amounts at every visit that measured them. */
export const amountsAtVisits = (asked: AskedVisits): readonly AmountAtVisit[] =>
  asked.measures.filter((m): m is AmountMeasure => m.kind === 'amount').flatMap((measure) => asked.windows.flatMap((window) => amountAt(asked, measure, window)));

function amountAt(asked: AskedVisits, measure: AmountMeasure, window: AskedWindow): readonly AmountAtVisit[] {
  const { data: { procedures }, groups, question: { confidence, importantDifference } } = asked;
  const now = (p: number): number => valueAt(asked, measure.name, window.index, p), before = (p: number): number => valueAt(asked, measure.name, baseline.index, p);
  const assessed = Int32Array.from({ length: procedures.size }, (_, p) => p).filter((p) => !Number.isNaN(now(p)));
  if (assessed.length === 0) return [];
  const changes = window.code !== baselineWindow && hasBaseline(asked, measure);
  const important = changes && importantDifference?.measure === measure.name && measure.better !== null ? importantDifference.value : null;
  const isImportant = (change: number): boolean => (measure.better === 'lower' ? -change : change) >= important!;
  const due = dueAt(asked, window);
  const own = groups.map((group, g): Amount => {
    const members = Array.from(assessed).filter((p) => procedures.group[p] === g), values = members.map(now);
    const both = changes ? members.filter((p) => !Number.isNaN(before(p))).map((p) => now(p) - before(p)) : [];
    const count = important === null ? 0 : both.filter(isImportant).length;
    return {
      group: group.key,
      due: due[g]!.due,
      seen: due[g]!.seen,
      assessed: members.length,
      ...meanOf(values, confidence),
      atLeast: measure.ends === null ? 0 : values.filter((v) => v <= measure.ends![0]).length,
      atMost: measure.ends === null ? 0 : values.filter((v) => v >= measure.ends![1]).length,
      change: changes ? { both: both.length, mean: meanOf(both, confidence).mean } : null,
      important: important === null ? null : { count, percent: percentOf(count, both.length, confidence), ifLost: ifLost({ present: count, assessed: both.length }, due[g]!) },
    };
  });
  const { differences, notes } = differencesOf(asked, assessed, changes, now, before);
  return [{
    measure: measure.name, label: measure.label, unit: measure.unit, section: measure.section, window: window.code,
    groups: own,
    differences: differences.map((d, k) => {
      const g = comparedGroups(asked)[k]!.index, of = (i: number) => ({ count: own[i]!.important?.count ?? 0, total: own[i]!.change?.both ?? 0 });
      return { ...d, importantPoints: important === null ? null : pointsBetween(of(g), of(asked.reference), confidence) };
    }),
    adjustedFor: [...(changes ? ['the value before the procedure'] : []), ...adjustedLabels(asked)],
    notes,
  }];
}

/** Means, or changes adjusted for the baseline: with the baseline in the model, the difference of values and that of changes are the same. */
function differencesOf(asked: AskedVisits, assessed: Int32Array, changes: boolean, now: (p: number) => number, before: (p: number) => number) {
  const { groups, reference, question: { confidence } } = asked;
  const members = changes ? assessed.filter((p) => !Number.isNaN(before(p))) : assessed;
  const rows = modelRows(asked, members, changes ? [{ name: 'before', valueOf: (row) => before(members[row]!) }] : []);
  const impossible = groups.length < 2 ? 'there is only one group' : rows.ofReference === 0 ? noReference : null;
  const fit = impossible !== null ? notEstimable(impossible) : leastSquares(Float64Array.from(rows.kept, (row) => now(members[row]!)), rows);
  const size = 1 + rows.names.length;
  const differences = comparedGroups(asked).map(({ key }, k): Omit<AmountDifference, 'importantPoints'> => {
    const at = 1 + k;
    const found = fit.status === 'ok' ? tested(fit.coefficient[at]!, fit.covariance[at * size + at]!, confidence, { df: fit.df }) : untested(fit.reason);
    return { group: key, against: groups[reference]!.key, procedures: rows.kept.length, ...found };
  });
  return { differences, notes: leftOutNote(members.length - rows.kept.length, 'procedures') };
}
