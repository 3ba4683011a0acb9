import { dueAt, type AskedVisits } from './askedVisits';
import { percentOf } from './estimates';
import type { VisitCount } from './visitsResult';

/** Who came to which visit. */
export function visitCounts(asked: AskedVisits, sizes: readonly number[]): readonly VisitCount[] {
  return asked.windows.flatMap((window) => dueAt(asked, window).map(({ due, seen, missed, outside }, g): VisitCount => ({
    group: asked.groups[g]!.key,
    window: window.code,
    due, seen, missed,
    notRecorded: due - seen - missed,
    notDue: sizes[g]! - due,
    outsideWindow: outside,
    percentSeen: percentOf(seen, due, asked.question.confidence, 1, 'no visit was due'),
  })));
}
