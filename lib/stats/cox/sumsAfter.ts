import { leaving } from '../riskSets';
import { addCrossProducts, takeMeans, type CoxState } from './partialLikelihood';

/** What the sets at later times contribute, for each distinct event time. */
export interface SumsAfter {
  /** Distinct event times, ascending. */
  readonly time: Float64Array;
  /** Events up to and at the time. */
  readonly eventsUpTo: Float64Array;
  /** Contributions to the score of the sets after the time, times × columns. */
  readonly score: Float64Array;
  /** Contributions to the information of the sets after the time, times × columns × columns. */
  readonly information: Float64Array;
}

/**
 * The same as `score` and `information` with weight 1 after each time and 0 up to it, for all times in one pass: the members of each set are counted by
 * pattern as they enter and leave. Throws a RangeError where cells linger after their exit.
 */
export function sumsAfter(state: CoxState): SumsAfter {
  const { model, sums, ties } = state, { sets, columns, eventX } = model, square = columns * columns;
  if (model.lingering) throw new RangeError('sums after each time are of a model without competing events');
  const time = Float64Array.from(new Set(sets.time)).sort(), place = new Map([...time].map((t, i) => [t, i]));
  const eventsUpTo = new Float64Array(time.length), score = new Float64Array(time.length * columns), information = new Float64Array(time.length * square);
  eachSet(state, (k, share) => {
    const at = place.get(sets.time[k]!)!, hazard = ties.hazard[k]!, spared = ties.spared[k]!;
    eventsUpTo[at]! += sets.events[k]!;
    for (let j = 0; j < columns; ++j) score[at * columns + j]! += eventX[k * columns + j]! - (hazard * sums.s1[k * columns + j]! - spared * sums.e1[k * columns + j]!);
    addCrossProducts(information, at * square, state, share);
    takeMeans(information, at * square, state, k, 1);
  });
  for (let at = 1; at < time.length; ++at) eventsUpTo[at]! += eventsUpTo[at - 1]!;
  later(score, columns);
  later(information, square);
  for (let at = 0; at < information.length; at += square) {
    for (let i = 0; i < columns; ++i) for (let j = 0; j < i; ++j) information[at + j * columns + i] = information[at + i * columns + j]!;
  }
  return { time, eventsUpTo, score, information };
}

/** Visits the sets with, per pattern, the members' share of the hazard, those with the event spared theirs. */
function eachSet({ model: { cells: { count, event }, design, sets, patterns }, ties }: CoxState, visit: (k: number, share: Float64Array) => void): void {
  const { first } = sets, leavers = leaving(sets), members = new Float64Array(patterns), share = new Float64Array(patterns);
  const entering = leavers.cells.toSorted((a, b) => first[a]! - first[b]!);
  let entered = 0;
  for (let k = 0; k < sets.time.length; ++k) {
    const hazard = ties.hazard[k]!, spared = ties.spared[k]!;
    for (; entered < entering.length && first[entering[entered]!]! <= k; ++entered) members[design.pattern[entering[entered]!]!]! += count[entering[entered]!]!;
    for (let p = 0; p < patterns; ++p) share[p] = hazard * members[p]!;
    for (let b = leavers.start[k]!; b < leavers.start[k + 1]!; ++b) {
      const i = leavers.cells[b]!;
      if (event[i] === 1) share[design.pattern[i]!]! -= spared * count[i]!;
    }
    visit(k, share);
    for (let b = leavers.start[k]!; b < leavers.start[k + 1]!; ++b) members[design.pattern[leavers.cells[b]!]!]! -= count[leavers.cells[b]!]!;
  }
}

/** Each row of `width` numbers becomes the sum of those after it. */
function later(rows: Float64Array, width: number): void {
  const sum = new Float64Array(width);
  for (let at = rows.length - width; at >= 0; at -= width) {
    for (let j = 0; j < width; ++j) {
      const own = rows[at + j]!;
      rows[at + j] = sum[j]!;
      sum[j]! += own;
    }
  }
}
