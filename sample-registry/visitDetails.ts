import { fieldsOf } from '../lib/contract/fields';
import { reachCodes } from '../lib/contract/visitCodes';
import { isoOf } from './calendar';
import type { RandomStream } from './random';
import { visitDetails as scenario } from './scenario';
import { drawZones } from './visitZones';
import { toStep, within, type CoreVisit, type DrawnVisits, type Followed, type VisitRow } from './visits';

const empty = Object.fromEntries(fieldsOf('followups').map(({ name }) => [name, null])) as unknown as VisitRow;

/** Measured by goniometer, to five degrees. */
const angle = (mean: number, sd: number, random: RandomStream): number => toStep(mean + sd * random.normal(), 5);

/** How far the thumb reaches: the shoulder's latent mobility, cut evenly. */
const reach = (latent: number): VisitRow['internal_rotation_reach'] => reachCodes[within(Math.round(latent), 0, reachCodes.length - 1)]!.code;

function before(random: RandomStream, { procedureId, day, construct }: Followed, patient: number): VisitRow {
  const row: VisitRow = { ...empty, procedure_id: procedureId, visit: 'before' };
  const usual = construct.class === 'anatomic_total' ? scenario.before.anatomic : scenario.before.reverse;
  if (random.chance(scenario.before.missed)) return row;
  const flexion = within(angle(usual.flexion + 10 * patient, 20, random), 10, 170);
  return {
    ...row,
    visit_date: isoOf(day - random.integer(scenario.before.longestWaitDays)),
    flexion_deg: flexion,
    abduction_deg: within(angle(flexion - 8, 10, random), 0, 170),
    external_rotation_deg: within(angle(usual.externalRotation + 4 * patient, 14, random), -40, 80),
    internal_rotation_reach: reach(3 + 1.2 * patient + 1.8 * random.normal()),
    pain: within(Math.round(scenario.before.pain - 0.5 * patient + 1.5 * random.normal()), 0, 10),
    score_total: within(Math.round(usual.score + 6 * patient + 10 * random.normal()), 0, 100),
    score_instrument: scenario.instrument,
  };
}

function clinicalTest(random: RandomStream, weak: number): VisitRow['belly_press'] {
  if (!random.chance(weak)) return 'normal';
  return random.chance(0.3) ? 'unable' : 'weak';
}

/** How the component was placed: seen on the first radiographs. */
function placement(random: RandomStream, anatomic: boolean, stem: string, adapts: number): Partial<VisitRow> {
  const { headOffset, seating, canalFill } = scenario;
  const offset = (stem === 'stemless' ? headOffset.medianMm.stemless : headOffset.medianMm.stemmed) * Math.exp(headOffset.sdLog * random.normal());
  const u = random.uniform(), tight = canalFill.adapting * (0.5 - adapts);
  const fill = (mean: number) => within(Math.round(mean + tight + canalFill.sd * random.normal()), 25, 100);
  const of = stem === 'short_stem' ? 'short_stem' : 'other';
  const upper = fill(canalFill.upper[of]), lower = fill(canalFill.lower[of]);
  return {
    ...(anatomic && {
      head_offset_mm: Math.round(within(offset, 0, 20) * 10) / 10,
      glenoid_seating: u < seating.complete ? 'complete' : u < seating.complete + seating.most ? 'most' : 'less',
    }),
    ...(stem !== 'stemless' && { canal_fill_upper_percent: upper, canal_fill_lower_percent: lower }),
  };
}

function secondReading(random: RandomStream, first: VisitRow['glenoid_radiolucency']): VisitRow['glenoid_radiolucency'] {
  const { share, lower, higher } = scenario.secondReader;
  const read = random.chance(share), u = random.uniform();
  if (!read || first === null) return null;
  return String(within(Number(first) + (u < lower ? -1 : u < lower + higher ? 1 : 0), 0, 4)) as VisitRow['glenoid_radiolucency'];
}

/** The planned visits with everything that is looked at, and the visit before the procedure first. */
export function drawVisitDetails(random: RandomStream, followed: Followed, { rows, patient, adapts }: DrawnVisits): VisitRow[] {
  const { construct } = followed;
  const anatomic = construct.class === 'anatomic_total';
  const stem = construct.models.find((m) => m.role === 'humeral_stem')!.design;
  const glenoid = construct.models.find((m) => m.role === 'glenoid')!.design;
  const first = before(random, followed, patient);
  const zones = drawZones(random, stem, glenoid, anatomic);
  const early = placement(random, anatomic, stem, adapts);
  let repair: NonNullable<CoreVisit['tendon']> = 'intact';
  const later = rows.map((core): VisitRow => {
    if (core.visit_date === null) return { ...empty, ...core };
    repair = core.tendon ?? repair;
    const imaged = core.visit !== '3m', weak = anatomic ? scenario.weakTests[repair] : scenario.weakTests.reverse;
    const mobility = (anatomic ? 7.5 : 5) + 1.6 * patient;
    return {
      ...empty,
      ...core,
      score_instrument: scenario.instrument,
      abduction_deg: within(angle((core.flexion_deg ?? 0) - 10, 8, random), 0, 180),
      internal_rotation_reach: reach(mobility - (imaged ? 0 : 3) + 1.4 * random.normal()),
      ...(imaged && {
        external_rotation_abducted_deg: within(angle((core.external_rotation_deg ?? 0) + 22, 8, random), -20, 110),
        belly_press: clinicalTest(random, weak),
        lift_off: clinicalTest(random, Math.min(0.95, weak * 1.3)),
        glenoid_radiolucency_second: secondReading(random, core.glenoid_radiolucency),
        ...zones(core),
      }),
      ...(core.visit === '3m' && early),
    };
  });
  return [first, ...later];
}
