import type { Columns, Expression, Positions } from '../../engine/columns';

/** How follow-up ends within a horizon, row by row of `followup`. */
export interface EndsOfFollowUp {
  /** 4 × exit + what ended it, a whole number from 0 to 3; later exits are censored (0) at the horizon. */
  readonly end: Uint16Array | Int32Array;
  /** Above every end. */
  readonly above: number;
  /** One more than the day of delayed entry; 0: at risk from the start. Null: all are. */
  readonly late: Positions | null;
}

/** @param horizon in days */
export function endsOfFollowUp(columns: Columns, outcome: Expression, horizon: number): Promise<EndsOfFollowUp> {
  return columns.get(`ends ${JSON.stringify([outcome, horizon])}`, async () => {
    const { positions: exit, occurs } = await columns.column('exit_day'), { positions: ended, values } = await columns.coded(outcome);
    const { positions: late, occurs: lateDays } = await columns.column('entry_day');
    const last = Math.min(horizon, Math.max(0, occurs.length - 2)), above = 4 * (last + 1), end = above <= 2 ** 16 ? new Uint16Array(exit.length) : new Int32Array(exit.length);
    const outcomes = Uint8Array.from(values, (value) => value || 0);
    for (let row = 0; row < end.length; ++row) {
      const day = exit[row]! - 1;
      end[row] = day > horizon ? 4 * horizon : 4 * day + outcomes[ended[row]!]!;
    }
    return { end, above, late: lateDays.length > 1 ? late : null };
  }, ({ end }) => end.byteLength);
}
