import type { Joint } from '../lib/contract/codes';
import type { Indication, Sex, Side } from './codes';
import { closingDay, daysPerYear } from './calendar';
import { pickPost, type Hospital, type Network } from './network';
import { purposes, RandomStream } from './random';
import * as scenario from './scenario';

/** A patient as drawn on the day of the first side; drawing again from the same seed, number and day gives the same patient. */
export interface Patient {
  readonly index: number;
  readonly id: string;
  readonly firstDay: number;
  readonly joint: Joint;
  readonly indication: Indication;
  readonly sex: Sex;
  readonly birthDay: number;
  readonly health: number; // on the scale of asa.cuts, without age
  readonly bmi: number;
  readonly frailty: number; // multiplier of the revision hazard of both sides
  readonly hospital: Hospital;
  readonly post: number; // whose holder operates on both sides
  readonly firstSide: Side;
  readonly deathDay: number; // Infinity: after the closing date
  readonly leavesDay: number; // last day seen where the patient emigrated; Infinity: stayed
  readonly secondDay: number | null; // when the other side is planned
}

export const completedYears = (birthDay: number, day: number): number => Math.floor((day - birthDay) / daysPerYear);

/** ASA grade: health worsens with age. */
export function asaGrade(patient: Pick<Patient, 'health' | 'birthDay'>, day: number): number {
  const value = patient.health + scenario.asa.perYearOver70 * (completedYears(patient.birthDay, day) - 70);
  return 1 + scenario.asa.cuts.filter((cut) => value > cut).length;
}

const profiles: Record<Joint, readonly (readonly [Indication, scenario.IndicationProfile])[]> = {
  shoulder: Object.entries(scenario.indications.shoulder) as [Indication, scenario.IndicationProfile][],
  hip: Object.entries(scenario.indications.hip) as [Indication, scenario.IndicationProfile][],
  knee: Object.entries(scenario.indications.knee) as [Indication, scenario.IndicationProfile][],
};
const joints = Object.keys(scenario.jointShares) as Joint[];
const clamp = (value: number, [least, most]: readonly [number, number]) => Math.min(most, Math.max(least, value));

/** Day of death by Gompertz, given that the patient lives on `fromDay`. */
function deathDay(random: RandomStream, fromDay: number, birthDay: number, sex: Sex, ratio: number): number {
  const { slope } = scenario.death;
  const age = (fromDay - birthDay) / daysPerYear;
  const hazard = ratio * (sex === 'female' ? scenario.death.women : scenario.death.men) * Math.exp(slope * (age - 70));
  const day = fromDay + Math.floor((Math.log1p((slope * random.exponential()) / hazard) / slope) * daysPerYear);
  return day > closingDay ? Infinity : day;
}

export function drawPatient(seed: number, network: Network, index: number, firstDay: number, id: string): Patient {
  const random = new RandomStream(seed, purposes.patient, index);
  const joint = joints[random.weighted(Object.values(scenario.jointShares))]!;
  const [indication, profile] = profiles[joint][random.weighted(profiles[joint].map(([, p]) => p.share))]!;
  const sex: Sex = random.chance(profile.women) ? 'female' : 'male';
  const age = clamp(profile.age[0] + profile.age[1] * random.normal(), scenario.ageLimits);
  const birthDay = firstDay - Math.round(age * daysPerYear);
  const health = profile.asaShift + random.normal();
  const bmi = clamp(scenario.bmi.median * Math.exp(scenario.bmi.sdLog * random.normal()), scenario.bmi.limits);
  const frailty = random.logNormal(scenario.patientSd);
  const hospital = network.pickHospital(random, firstDay);
  const post = pickPost(random, hospital);
  const firstSide: Side = random.chance(0.55) ? 'right' : 'left';

  // A late joiner sends in only patients who were alive when it joined.
  const knownFrom = Math.max(firstDay, hospital.joinedDay);
  const asaRatio = scenario.death.asaRatios[asaGrade({ health, birthDay }, firstDay) - 1]!;
  const dies = deathDay(random, knownFrom, birthDay, sex, asaRatio * profile.deathRatio);
  const leaves = knownFrom + Math.floor((random.exponential() / scenario.emigrationPerYear) * daysPerYear);
  const leavesDay = leaves < Math.min(dies, closingDay) ? leaves : Infinity;
  const second = random.chance(profile.secondSide)
    ? firstDay + scenario.secondSideGap.least + Math.floor(scenario.secondSideGap.mean * random.exponential())
    : Infinity;
  const secondDay = second <= Math.min(dies, leavesDay, closingDay) ? second : null;
  return { index, id, firstDay, joint, indication, sex, birthDay, health, bmi, frailty, hospital, post, firstSide, deathDay: dies, leavesDay, secondDay };
}
