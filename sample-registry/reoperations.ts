import type { Role } from '../lib/contract/codes';
import { reasonCodes } from '../lib/contract/codes';
import type { Reason } from './codes';
import type { Construct } from './construct';
import { reoperation, rerevisionRatio } from './hazards';
import type { RandomStream } from './random';
import { nextRevision, profileOf, type Multipliers } from './revisionHazard';
import { reportingDelayMean } from './scenario';

export interface Reoperation {
  readonly days: number; // since the primary
  readonly kind: 'major' | 'minor' | 'reoperation';
  readonly reasons: readonly Reason[]; // as written in the cell, in no particular order
  readonly removed: readonly Role[];
}

const modular: readonly Role[] = ['humeral_head', 'humeral_insert', 'glenosphere', 'acetabular_liner', 'femoral_head', 'knee_insert'];

/** What a revision for a reason usually takes out; empty: anything. */
const usuallyRemoved: Partial<Record<Reason, readonly Role[]>> = {
  periprosthetic_fracture: ['humeral_stem', 'femoral_stem', 'knee_femoral'],
  glenoid_loosening: ['glenoid', 'glenosphere', 'humeral_head'],
  humeral_loosening: ['humeral_stem'],
  loosening: ['acetabular_cup', 'knee_tibial'],
  lysis: ['glenoid', 'humeral_insert'],
  dissociation: ['glenoid', 'humeral_insert', 'glenosphere'],
  wear: ['glenoid', 'humeral_insert', 'acetabular_liner', 'knee_insert'],
  instability: ['humeral_head', 'humeral_insert', 'glenosphere', 'acetabular_liner', 'femoral_head', 'knee_insert'],
  cuff_failure: ['glenoid', 'humeral_head'],
  socket_erosion: ['humeral_head'],
};
/** A new socket, or a change to a reverse: a fixed component is added even where only modular parts come out. */
const addsComponent: readonly Reason[] = ['socket_erosion', 'cuff_failure'];

function describe(random: RandomStream, construct: Construct, reason: Reason, days: number): Reoperation {
  const implanted = construct.models.map((m) => m.role);
  const usual = implanted.filter((role) => usuallyRemoved[reason]?.includes(role));
  let removed = usual.length > 0 ? usual : implanted;
  if (reason === 'infection' && random.chance(days < 90 ? 0.6 : 0.15)) removed = implanted.filter((role) => modular.includes(role));
  if (random.chance(0.15) || removed.length === 0) removed = implanted;
  const kind = addsComponent.includes(reason) || removed.some((role) => !modular.includes(role)) ? 'major' : 'minor';

  // A second reason stands later in the declared order, so that the first in that order is still the one that was drawn.
  const order = reasonCodes.map((r) => r.code);
  const second: Reason = random.chance(0.5) ? 'pain' : 'stiffness';
  const hasSecond = random.chance(0.12) && order.indexOf(second) > order.indexOf(reason);
  const reasons = !hasSecond ? [reason] : random.chance(0.3) ? [second, reason] : [reason, second];
  return { days, kind, reasons, removed: random.chance(0.03) ? [] : removed };
}

/** A chain of revisions: the first in `from` … `horizon` days, later ones with the clock started again; and now and then a re-operation. */
export function drawReoperations(
  random: RandomStream, construct: Construct, multipliers: Multipliers, from: number, horizon: number,
): readonly Reoperation[] {
  const afterwards = profileOf({ ...construct, models: [] });
  const list: Reoperation[] = [];
  let next = nextRevision(random, profileOf(construct), multipliers, from, horizon);
  if (random.chance(reoperation.chance)) {
    const days = from + Math.floor(reoperation.meanDays * random.exponential());
    const reason: Reason = random.one(['stiffness', 'infection', 'pain', 'instability', 'periprosthetic_fracture']);
    if (days <= (next?.days ?? horizon)) list.push({ days, kind: 'reoperation', reasons: [reason], removed: [] });
  }
  let since = 0;
  while (next && list.length < 4) {
    list.push(describe(random, construct, next.reason, since + next.days));
    since += next.days;
    next = nextRevision(random, afterwards, { ...multipliers, all: multipliers.all * rerevisionRatio }, 1, horizon - since);
  }
  return list;
}

/** Those whose report reached the registry by the closing date; a report that is still out also holds back the later ones. */
export function reported(random: RandomStream, list: readonly Reoperation[], horizon: number): readonly Reoperation[] {
  const late = list.findIndex((r) => r.days + reportingDelayMean * random.exponential() > horizon);
  return late < 0 ? list : list.slice(0, late);
}
