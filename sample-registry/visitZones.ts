import { glenoidZones, humeralZones, zonalField, zonalSigns } from '../lib/contract/zones';
import { windowOf } from '../lib/contract/visitWindows';
import type { DesignClass } from './codes';
import type { RandomStream } from './random';
import { visitDetails as scenario } from './scenario';
import { within, type CoreVisit, type VisitRow } from './visits';

type Cells = Partial<Record<keyof VisitRow, string | number | null>>;

const adaptationSigns = zonalSigns.filter((s) => s.structure === 'humerus');
/** A stemless component has an anchor only. */
const zonesOf = (stem: DesignClass) => humeralZones.filter(({ code }) => stem !== 'stemless' || ['lateral_upper', 'tip', 'medial_upper'].includes(code));

/** Signs around the humeral component. Each zone of a patient has its own moment, so that a sign that is there stays. */
function humerus(random: RandomStream, stem: DesignClass) {
  const moments = adaptationSigns.map(() => humeralZones.map(() => random.uniform()));
  return ({ stem_adaptation: adapted }: CoreVisit, years: number): Cells => {
    const found = adaptationSigns.flatMap(({ code }, s) => zonesOf(stem).map((zone) => {
      const z = humeralZones.indexOf(zone), u = moments[s]![z]!, isAdaptation = code !== 'stem_lucency';
      const chance = scenario.zones[code][z]! * Math.sqrt(years / 10);
      const present = u < chance && (!isAdaptation || adapted === 'yes');
      return { field: zonalField(code, zone.code), isAdaptation, grade: !present ? '0' : u < scenario.markedPart * chance ? '2' : '1' };
    }));
    const cells: Cells = Object.fromEntries(found.map(({ field, grade }) => [field, grade]));
    const seen = found.some(({ isAdaptation, grade }) => isAdaptation && grade !== '0');
    if (adapted === 'yes' && !seen) cells.thinning_medial_upper = '1'; // one sign at least, where bone adapts first
    return cells;
  };
}

/** Radiolucent lines at the glenoid component, in keeping with the grade of the worst zone. */
function glenoid(random: RandomStream) {
  const widest = random.integer(glenoidZones.length), wide = random.uniform();
  return ({ glenoid_radiolucency: grade }: CoreVisit): Cells => {
    if (grade === null) return {};
    const worst = grade === '0' ? 0 : grade === '1' ? 1 : grade === '2' ? (wide < 0.5 ? 1 : 2) : 3;
    const elsewhere = grade === '0' || grade === '1' ? 0 : worst === 3 ? 2 : 1;
    return Object.fromEntries(glenoidZones.map(({ code }, z) => [zonalField('glenoid_lucency', code), String(z === widest ? worst : elsewhere)]));
  };
}

/** Grades by zone, migration and osteolysis of one procedure: call it for its visits in their order. */
export function drawZones(random: RandomStream, stem: DesignClass, design: DesignClass, anatomic: boolean): (core: CoreVisit) => Partial<VisitRow> {
  const ofHumerus = humerus(random, stem), ofGlenoid = glenoid(random);
  const lysis = random.uniform(), hasPeg = anatomic && (design === 'all_poly_pegged' || design === 'all_poly_fluted_peg');
  return (core) => {
    const years = windowOf(core.visit).day / 365.25, late = years > 1.5, isRead = random.chance(scenario.zonesRead);
    const small = (sd: number): number => Math.round(Math.abs(sd * random.normal()));
    const [tilt, shift, stemTilt, subsidence] = [small(1.2), small(0.5), small(0.9), small(0.7)];
    const shifted = core.glenoid_radiolucency === '4';
    const { part, whole } = scenario.pegOsteolysis;
    return {
      ...(isRead && { ...ofHumerus(core, years), ...ofGlenoid(core) }),
      ...(hasPeg && { peg_osteolysis: lysis < whole * years ? 'whole' : lysis < part * years ? 'part' : 'none' }),
      ...(late && anatomic && { glenoid_tilt_deg: within(tilt + (shifted ? 6 : 0), 0, 20), glenoid_shift_mm: within(shift + (shifted ? 2 : 0), 0, 12) }),
      ...(late && stem !== 'stemless' && { stem_tilt_deg: stemTilt, stem_subsidence_mm: subsidence }),
    } as Partial<VisitRow>;
  };
}
