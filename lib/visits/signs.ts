import { isSign, type Measure, type MeasureSection } from '../contract/measures';
import { designEffect } from '../stats/proportions/designEffect';
import { comparedGroups, dueAt, valueAt, type AskedVisits, type AskedWindow, type Due } from './askedVisits';
import { percentOf, pointsBetween } from './estimates';
import type { Prevalence, PrevalenceDifference, SignAtVisit } from './visitsResult';

/** A sign as it is counted: whether a value of its measure has it. */
export interface Sign {
  readonly measure: string;
  readonly label: string;
  readonly present: string;
  readonly section: MeasureSection;
  readonly has: (value: number) => boolean;
}

/** The signs among the measures asked for; a head out of place is one, by the distance that the question sets. */
export function signsOf({ measures, question: { headOffsetOverMm: over } }: Pick<AskedVisits, 'measures' | 'question'>): readonly Sign[] {
  return measures.flatMap((m: Measure): Sign[] => {
    const of = { measure: m.name, label: m.label, section: m.section };
    if (m.name === 'head_offset_mm') return [{ ...of, present: `over ${over} mm`, has: (v) => v > over }];
    if (!isSign(m)) return [];
    const from = m.kind === 'grade' ? m.presentFrom ?? 1 : 1;
    return [{ ...of, present: m.present, has: (v) => v >= from }];
  });
}

interface Tally { readonly assessed: number; readonly present: number; readonly effect: number }

/** Assessed and present in each group, with the design effect of patients who have several joints in it. */
export function tally(asked: AskedVisits, sign: Sign, { index }: AskedWindow): readonly Tally[] {
  const { procedures } = asked.data;
  const byPatient = asked.groups.map(() => new Map<number, { count: number; total: number }>());
  const counts = asked.groups.map(() => ({ assessed: 0, present: 0 }));
  for (let p = 0; p < procedures.size; ++p) {
    const value = valueAt(asked, sign.measure, index, p);
    if (Number.isNaN(value)) continue;
    const g = procedures.group[p]!, has = Number(sign.has(value));
    counts[g]!.assessed += 1;
    counts[g]!.present += has;
    if (procedures.several[p] === 0) continue;
    const patient = procedures.patient[p]!, known = byPatient[g]!.get(patient);
    if (known) { known.count += has; known.total += 1; } else byPatient[g]!.set(patient, { count: has, total: 1 });
  }
  return counts.map(({ assessed, present }, g) => ({
    assessed, present, effect: designEffect(present, assessed, [...byPatient[g]!.values()].filter(({ total }) => total > 1)),
  }));
}

/** Percent of those due if none, and if all, of those not assessed had what `present` of them have. */
export const ifLost = ({ assessed, present }: Pick<Tally, 'assessed' | 'present'>, { due }: Pick<Due, 'due'>): { none: number; all: number } | null =>
  (due === 0 ? null : { none: (100 * present) / due, all: (100 * (present + due - assessed)) / due });

/** Every sign at every visit that assessed it. */
export function signsAtVisits(asked: AskedVisits): readonly SignAtVisit[] {
  const { question: { confidence }, groups, reference } = asked, against = groups[reference]!.key;
  return signsOf(asked).flatMap((sign) => asked.windows.flatMap((window): SignAtVisit[] => {
    const tallies = tally(asked, sign, window);
    if (tallies.every(({ assessed }) => assessed === 0)) return [];
    const due = dueAt(asked, window), lost = tallies.map((t, g) => ifLost(t, due[g]!));
    const prevalences = tallies.map((t, g): Prevalence => ({
      group: groups[g]!.key,
      due: due[g]!.due,
      seen: due[g]!.seen,
      assessed: t.assessed,
      present: t.present,
      percent: percentOf(t.present, t.assessed, confidence),
      allowingForBothSides: percentOf(t.present, t.assessed, confidence, t.effect),
      ifLost: lost[g]!,
    }));
    const counted = ({ assessed, present }: Tally) => ({ count: present, total: assessed });
    const asPatients = ({ assessed, present, effect }: Tally) => ({ count: present / effect, total: assessed / effect });
    const differences = comparedGroups(asked).map(({ key, index }): PrevalenceDifference => {
      const own = lost[index], other = lost[reference];
      return {
        group: key, against,
        points: pointsBetween(counted(tallies[index]!), counted(tallies[reference]!), confidence),
        allowingForBothSides: pointsBetween(asPatients(tallies[index]!), asPatients(tallies[reference]!), confidence),
        ifLost: own && other ? { least: own.none - other.all, most: own.all - other.none } : null,
      };
    });
    const { measure, label, present, section } = sign;
    return [{ measure, label, present, section, window: window.code, groups: prevalences, differences }];
  }));
}
