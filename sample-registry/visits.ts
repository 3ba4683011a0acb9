import type { z } from 'zod';
import { dayOf } from '../lib/contract/calendarDay';
import type { Followup } from '../lib/contract/tables';
import type { Construct } from './construct';
import { isoOf } from './calendar';
import type { DesignClass } from './codes';
import type { RandomStream } from './random';
import { visits } from './scenario';

export type VisitRow = z.infer<typeof Followup>;

/** What a visit is planned for; visitDetails.ts adds the rest. */
export type CoreVisit = Pick<VisitRow, 'procedure_id' | 'visit' | 'visit_date' | 'glenoid_radiolucency' | 'stem_adaptation' | 'tendon'
  | 'tendon_thickness_mm' | 'flexion_deg' | 'external_rotation_deg' | 'pain' | 'score_total'>;

/** The planned visits, and what of the patient shows in all of them: standard normal `patient`, uniform `adapts` (low: soon). */
export interface DrawnVisits {
  readonly rows: readonly CoreVisit[];
  readonly patient: number;
  readonly adapts: number;
}

export const within = (value: number, least: number, most: number) => Math.min(most, Math.max(least, value));
export const toStep = (value: number, step: number) => Math.round(value / step) * step + 0; // + 0: never minus zero
const firstVisitedDay = dayOf(visits.from);

export interface Followed {
  readonly procedureId: string;
  readonly day: number;
  readonly construct: Construct;
  readonly lastDay: number; // of the implant and the patient in the registry
  readonly willLoosen: boolean; // later revised for loosening of the glenoid component
}

export const isFollowed = (hospitalIndex: number, day: number, construct: Construct): boolean =>
  hospitalIndex % visits.everyHospital === 0 && day >= firstVisitedDay &&
  (construct.class === 'anatomic_total' || construct.class === 'reverse_total');

function radiolucency(random: RandomStream, design: DesignClass, years: number, bone: number): CoreVisit['glenoid_radiolucency'] {
  const course = visits.radiolucency[design as keyof typeof visits.radiolucency];
  const late = 'lateYear' in course ? course.lateYear * Math.max(0, years - 5) : 0;
  const value = course.start + course.perYear * years + late + bone + 0.3 * random.normal();
  return (['0', '1', '2', '3', '4'] as const)[visits.radiolucencyCuts.filter((cut) => value > cut).length]!;
}

function tendon(random: RandomStream): Pick<CoreVisit, 'tendon' | 'tendon_thickness_mm'> {
  const u = random.uniform();
  const thickness = random.normal();
  if (u < visits.tendon.torn) return { tendon: 'torn', tendon_thickness_mm: null };
  const [least, most] = visits.tendon.attenuatedMm;
  if (u < visits.tendon.torn + visits.tendon.attenuated) {
    return { tendon: 'attenuated', tendon_thickness_mm: Math.round(within((least + most) / 2 + 0.3 * thickness, least, most) * 10) / 10 };
  }
  const { mean, sd } = visits.tendon.intactMm;
  return { tendon: 'intact', tendon_thickness_mm: Math.round(within(mean + sd * thickness, most + 0.1, 8) * 10) / 10 };
}

const empty = {
  visit_date: null, glenoid_radiolucency: null, stem_adaptation: null, tendon: null, tendon_thickness_mm: null,
  flexion_deg: null, external_rotation_deg: null, pain: null, score_total: null,
} as const;

/** The planned visits after the procedure that fell due while the implant was in place and the patient in sight, missed ones with empty cells. */
export function drawVisits(random: RandomStream, { procedureId, day, construct, lastDay, willLoosen }: Followed): DrawnVisits {
  const anatomic = construct.class === 'anatomic_total';
  const glenoid = construct.models.find((m) => m.role === 'glenoid')!.design;
  const stem = construct.models.find((m) => m.role === 'humeral_stem')!.design as keyof typeof visits.adaptedPart;
  const patient = random.normal();
  const bone = random.normal() + (willLoosen ? visits.loosenerShift : 0);
  const adapts = random.uniform();
  const rows: CoreVisit[] = [];
  for (const plan of visits.plan) {
    if (day + plan.day > lastDay) break;
    if (random.chance(plan.missed)) {
      rows.push({ procedure_id: procedureId, visit: plan.visit, ...empty });
      continue;
    }
    const years = plan.day / 365.25;
    const imaged = plan.day >= 365;
    rows.push({
      procedure_id: procedureId,
      visit: plan.visit,
      visit_date: isoOf(Math.min(lastDay, day + plan.day + Math.round((plan.spread * random.normal()) / 2))),
      glenoid_radiolucency: imaged && anatomic ? radiolucency(random, glenoid, years, bone) : null,
      stem_adaptation: imaged ? (adapts < plan.adapted * visits.adaptedPart[stem] ? 'yes' : 'no') : null,
      ...(plan.visit === '1y' && anatomic ? tendon(random) : { tendon: null, tendon_thickness_mm: null }),
      flexion_deg: within(toStep(plan.flexion - (anatomic ? 0 : 8) + 14 * patient + 10 * random.normal(), 5), 20, 180),
      external_rotation_deg: imaged ? within(toStep((anatomic ? 48 : 30) + 8 * patient + 8 * random.normal(), 5), -20, 90) : null,
      pain: within(Math.round(plan.pain - 0.9 * patient + 1.1 * random.normal()), 0, 10),
      score_total: within(Math.round(plan.score - (anatomic ? 0 : 3) + 11 * patient + 6 * random.normal()), 0, 100),
    });
  }
  return { rows, patient, adapts };
}
