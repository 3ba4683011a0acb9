import type { TableName } from '../../contract/tables';

/** Seconds a megabyte of a table's file took, relative to each other, in the order of the work (tests/bench/loading.md); the last two go by the procedures. */
const costs = {
  'read procedures': 7, 'read deaths': 20, 'check deaths': 2, 'check procedures': 3, 'read revisions': 25, 'check revisions': 20, 'link procedures': 5,
  'read components': 11, 'check components': 2, 'read followups': 15, 'check followups': 3, 'follow procedures': 6,
} as const;
export type Stage = keyof typeof costs;

/** Where a stage begins and ends in the whole load, 0–1. */
export type StagePlan = (stage: Stage) => { readonly from: number; readonly to: number };

/** How the time of a load is expected to be shared out, from the sizes of its files in bytes. */
export function stagePlan(bytes: ReadonlyMap<TableName, number>): StagePlan {
  const least = 10_000; // a stage takes a moment even where there is nothing to do
  const ends = new Map<Stage, { from: number; to: number }>();
  let total = 0;
  for (const [stage, cost] of Object.entries(costs) as [Stage, number][]) {
    const from = total;
    total += cost * ((bytes.get(stage.split(' ')[1] as TableName) ?? 0) + least);
    ends.set(stage, { from, to: total });
  }
  return (stage) => {
    const { from, to } = ends.get(stage) ?? { from: 0, to: 0 };
    return { from: from / total, to: to / total };
  };
}
