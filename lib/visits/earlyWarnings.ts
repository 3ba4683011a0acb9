import { clusterNotes } from '../analysis/clusterNotes';
import { daysOfYears } from '../cohort/days';
import { cox } from '../stats/cox/cox';
import { hazardRatios } from '../stats/cox/hazardRatios';
import { robustCovariance } from '../stats/cox/robust';
import type { Cells } from '../stats/cells';
import { distinctRows } from '../stats/regression/distinctRows';
import type { AskedVisits } from './askedVisits';
import { allWindows } from './askedVisits';
import { baseline } from './amounts';
import { notEstimable } from './estimates';
import { adjustedLabels, leftOutNote, modelRows } from './modelRows';
import { signsOf, type Sign } from './signs';
import type { EarlyWarning, SignRatio } from './visitsResult';

/** When a procedure was first assessed for a sign, and when the sign was first seen, in days; Infinity: never. */
interface Course { readonly assessed: Float64Array; readonly seen: Float64Array }

/** Whether signs at the humerus, the glenoid and the tendon go with later revision. */
export const earlyWarnings = (asked: AskedVisits): readonly EarlyWarning[] =>
  signsOf(asked).filter(({ section }) => section !== 'motion').flatMap((sign) => {
    const course = courseOf(asked, sign);
    if (course.assessed.every((day) => day === Infinity)) return [];
    return [{
      measure: sign.measure, label: sign.label, present: sign.present,
      adjustedFor: [...(asked.groups.length > 1 ? ['group'] : []), ...adjustedLabels(asked)],
      landmarks: asked.question.landmarkYears.map((years) => landmark(asked, course, years)),
      changing: changing(asked, course),
    }];
  });

function courseOf({ data: { procedures, rowAt, visits } }: AskedVisits, sign: Sign): Course {
  const assessed = new Float64Array(procedures.size).fill(Infinity), seen = assessed.slice(), values = visits.values.get(sign.measure)!;
  for (const { index } of allWindows) {
    if (index === baseline.index) continue;
    for (let p = 0; p < procedures.size; ++p) {
      const row = rowAt[index]![p]!, value = row < 0 ? NaN : values[row]!, day = row < 0 ? NaN : visits.day[row]!;
      if (Number.isNaN(value) || Number.isNaN(day)) continue;
      assessed[p] = Math.min(assessed[p]!, day);
      if (sign.has(value)) seen[p] = Math.min(seen[p]!, day);
    }
  }
  return { assessed, seen };
}

/** Follow-up of a procedure, or a piece of it, on (from, to], with the sign or without. */
interface Piece { readonly procedure: number; readonly from: number; readonly to: number; readonly event: boolean; readonly hasSign: boolean }

function landmark(asked: AskedVisits, { assessed, seen }: Course, years: number): EarlyWarning['landmarks'][number] {
  const { procedures } = asked.data, day = daysOfYears(years), pieces: Piece[] = [];
  let atRisk = 0;
  for (let p = 0; p < procedures.size; ++p) {
    if (!(procedures.until[p]! > day)) continue;
    ++atRisk;
    if (assessed[p]! > day) continue;
    pieces.push({ procedure: p, from: Math.max(day, procedures.entry[p]!), to: procedures.until[p]!, event: procedures.event[p] === 1, hasSign: seen[p]! <= day });
  }
  const counted = pieces.filter(({ from, to }) => from < to);
  const notAssessed = atRisk - pieces.length, found = ratioOf(asked, counted, `nobody assessed by ${years} ${years === 1 ? 'year' : 'years'} was followed longer`, false);
  const late = notAssessed > atRisk / 4 ? ['Over a quarter of those at risk came later than the landmark or were not assessed: a landmark at the end of the visit’s window counts more of them.'] : [];
  return { years, atRisk, notAssessed, ...found, notes: [...late, ...found.notes] };
}

function changing(asked: AskedVisits, { assessed, seen }: Course): EarlyWarning['changing'] {
  const { procedures } = asked.data, pieces: Piece[] = [];
  let notAssessed = 0;
  for (let p = 0; p < procedures.size; ++p) {
    const end = procedures.until[p]!, start = Math.max(assessed[p]!, procedures.entry[p]!);
    if (!(start < end)) { ++notAssessed; continue; }
    const turn = Math.min(Math.max(seen[p]!, start), end), event = procedures.event[p] === 1;
    if (start < turn) pieces.push({ procedure: p, from: start, to: turn, event: event && turn === end, hasSign: false });
    if (turn < end) pieces.push({ procedure: p, from: turn, to: end, event, hasSign: true });
  }
  const found = ratioOf(asked, pieces, 'nobody was followed beyond the first visit that assessed it', true);
  const withSign = new Set(pieces.filter(({ hasSign }) => hasSign).map(({ procedure }) => procedure)).size, all = new Set(pieces.map(({ procedure }) => procedure)).size;
  return { ...found, procedures: [all - withSign, withSign], notAssessed };
}

/** The sign against none, adjusted for the groups and the covariates; robust limits where the question names a cluster or pieces belong together. */
function ratioOf(asked: AskedVisits, pieces: readonly Piece[], nobody: string, inPieces: boolean): SignRatio {
  const { question: { confidence, cluster } } = asked;
  const count = (has: boolean, events: boolean): number => pieces.reduce((sum, p) => sum + Number(p.hasSign === has && (!events || p.event)), 0);
  const tally = { procedures: [count(false, false), count(true, false)] as const, events: [count(false, true), count(true, true)] as const };
  if (pieces.length === 0) return { ...tally, estimate: notEstimable(nobody), p: NaN, notes: [] };
  const sign = 'the sign', rows = modelRows(asked, Int32Array.from(pieces, (p) => p.procedure), [{ name: sign, valueOf: (row) => Number(pieces[row]!.hasSign) }]);
  const kept = Array.from(rows.kept, (row) => pieces[row]!), place = rows.names.indexOf(sign);
  const cells: Cells = {
    exit: Float64Array.from(kept, (p) => p.to),
    // where all are followed from one day, nobody comes in later
    ...(kept.some((p) => p.from !== kept[0]!.from) && { entry: Float64Array.from(kept, (p) => p.from) }),
    event: Uint8Array.from(kept, (p) => Number(p.event)),
    count: new Float64Array(kept.length).fill(1),
    ...(cluster !== 'none' && { cluster: rows.cluster }),
  };
  const notes = leftOutNote(pieces.length - kept.length, 'pieces of follow-up');
  const { pattern, values } = distinctRows(rows.values, rows.names.length, kept.length);
  const fit = cox(cells, { names: rows.names, values, pattern });
  if (fit.status !== 'ok') return { ...tally, estimate: fit, p: NaN, notes };
  const robust = cluster === 'none' ? null : robustCovariance(fit, inPieces ? { origin: Int32Array.from(kept, (p) => p.procedure) } : {});
  const found = hazardRatios(fit, { confidence, ...(robust?.status === 'ok' && { covariance: robust.covariance }) })[place]!;
  if (found.status !== 'ok') return { ...tally, estimate: notEstimable(found.reason), p: NaN, notes };
  const { ratio: value, lower, upper, p } = found;
  return { ...tally, estimate: { value, lower, upper }, p, notes: [...notes, ...fit.notes, ...clusterNotes(robust, cluster)] };
}
