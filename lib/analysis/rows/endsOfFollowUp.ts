import { eventCode } from '../../cohort/outcome';
import type { Columns, Expression, Positions } from '../../engine/columns';

/** Competing events are told apart from the end of follow-up (0), each by its code, or not. */
export type CompetingEvents = 'apart' | 'together';

/** How follow-up ends within a horizon, row by row of `followup`. */
export interface EndsOfFollowUp {
  /** What ended it is a whole number of so many bits: 2, or 1 where competing events are not told apart. */
  readonly bits: number;
  /** 2^bits × exit + what ended it; later exits are censored (0) at the horizon. */
  readonly end: Uint16Array | Int32Array;
  /** Above every end. */
  readonly above: number;
  /** One more than the day of delayed entry; 0: at risk from the start. Null: all are. */
  readonly late: Positions | null;
}

/** @param horizon in days */
export function endsOfFollowUp(columns: Columns, outcome: Expression, horizon: number, competing: CompetingEvents = 'apart'): Promise<EndsOfFollowUp> {
  const bits = competing === 'apart' ? 2 : 1, endings = 2 ** bits;
  return columns.get(`ends ${JSON.stringify([outcome, horizon, competing])}`, async () => {
    const { positions: exit, occurs } = await columns.column('exit_day'), { positions: ended, values } = await columns.coded(outcome);
    const { positions: late, occurs: lateDays } = await columns.column('entry_day');
    const last = Math.min(horizon, Math.max(0, occurs.length - 2)), above = endings * (last + 1), end = above <= 2 ** 16 ? new Uint16Array(exit.length) : new Int32Array(exit.length);
    const outcomes = Uint8Array.from(values, (value) => (competing === 'apart' || value === eventCode.ofInterest ? value || 0 : 0));
    for (let row = 0; row < end.length; ++row) {
      const day = exit[row]! - 1;
      end[row] = day > horizon ? endings * horizon : endings * day + outcomes[ended[row]!]!;
    }
    return { bits, end, above, late: lateDays.length > 1 ? late : null };
  }, ({ end }) => end.byteLength);
}
