import { openedDay, yearOf } from './calendar';
import type { Construct } from './construct';
import type { DesignClass } from './codes';
import type { Surgeon } from './network';
import { models } from './models';
import { learning } from './scenario';

const designs: readonly DesignClass[] = [...new Set(models.map((m) => m.design))];
const numberOf = new Map<DesignClass, number>(designs.map((d, i) => [d, i]));
const learnt: readonly string[] = ['glenoid', 'humeral_stem'];

/** Sold when the registry opened: surgeons who were in post before that are practised in it. */
const established = designs.filter((design) => models.some((m) => m.design === design && m.from <= Math.floor(yearOf(openedDay))));

/** How often each surgeon has used each design so far: it must see procedures in the order of the calendar. */
export class LearningCurve {
  private readonly uses: Uint8Array;

  constructor(surgeons: readonly Surgeon[]) {
    this.uses = new Uint8Array(surgeons.length * designs.length);
    for (const { index, from } of surgeons) {
      if (from >= openedDay) continue;
      for (const design of established) this.uses[index * designs.length + numberOf.get(design)!] = learning.uses;
    }
  }

  /** Counts a use, and returns the hazard ratio of the least practised glenoid or humeral design in it. */
  use(surgeon: Surgeon, construct: Construct): number {
    let fewest: number = learning.uses;
    for (const { role, design } of construct.models) {
      if (!learnt.includes(role)) continue;
      const at = surgeon.index * designs.length + numberOf.get(design)!;
      fewest = Math.min(fewest, this.uses[at]!);
      if (this.uses[at]! < learning.uses) this.uses[at]!++;
    }
    return Math.exp(learning.first * (1 - fewest / learning.uses));
  }
}
