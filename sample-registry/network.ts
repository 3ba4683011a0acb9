import { dayOf } from '../lib/contract/calendarDay';
import { normalQuantile } from '../lib/stats/distributions/normal';
import { closingDay, daysPerYear, openedDay, valueIn, yearOf } from './calendar';
import { makers } from './models';
import { purposes, RandomStream } from './random';
import { makerLoyalty, missing, network, planted, volume } from './scenario';

export interface Surgeon {
  readonly index: number;
  readonly id: string;
  readonly from: number; // first and last day in this hospital
  readonly to: number;
  ratio: number; // multiplier of the revision hazard
}

/** A post in a hospital, held by one surgeon after another. */
interface Position { readonly weight: number; readonly surgeons: readonly Surgeon[] }

export interface Hospital {
  readonly index: number;
  readonly id: string;
  readonly region: string;
  readonly weight: number; // relative volume
  readonly recordKeeping: number; // added to the logit of a missing cell
  readonly positions: readonly Position[];
  readonly mainMaker: string;
  readonly secondMaker: string;
  rank: number; // 1: the largest
  joinedDay: number; // re-operations are recorded from here
  ratio: number; // multiplier of the revision hazard
}

/** The hospitals and surgeons of an extract of a given size. */
export interface Network {
  readonly hospitals: readonly Hospital[];
  readonly surgeons: readonly Surgeon[];
  readonly plantedHospitals: readonly Hospital[];
  readonly plantedSurgeon: Surgeon;
  /** A hospital that sends in procedures of that day, in proportion to volume. */
  pickHospital(random: RandomStream, day: number): Hospital;
}

const numbered = (letter: string, index: number, digits: number) => letter + String(index + 1).padStart(digits, '0');

function careers(random: RandomStream, firstIndex: number): Surgeon[] {
  const surgeons: Surgeon[] = [];
  let from = openedDay - random.integer(6 * daysPerYear);
  while (from <= closingDay) {
    const years = network.tenureYears.least + network.tenureYears.meanMore * random.exponential();
    const to = from + Math.round(years * daysPerYear);
    const index = firstIndex + surgeons.length;
    surgeons.push({ index, id: numbered('S', index, 4), from, to, ratio: random.logNormal(network.surgeonSd) });
    from = to + 1;
  }
  return surgeons;
}

function drawHospital(random: RandomStream, index: number, weight: number, positionCount: number, firstSurgeon: number): Hospital {
  const names = Object.keys(makers);
  const main = random.weighted(Object.values(makers));
  const second = (main + 1 + random.integer(names.length - 1)) % names.length;
  let next = firstSurgeon;
  const positions = Array.from({ length: positionCount }, () => {
    const surgeons = careers(random, next);
    next += surgeons.length;
    return { weight: random.logNormal(network.surgeonVolumeSd), surgeons };
  });
  return {
    index, id: numbered('H', index, 3), region: random.one(network.regions), weight, positions,
    mainMaker: names[main]!, secondMaker: names[second]!, recordKeeping: missing.hospitalSd * random.normal(),
    rank: 0, joinedDay: openedDay, ratio: random.logNormal(network.hospitalSd),
  };
}

/** Cases a surgeon can expect: the hospital's volume, the post's share of it, and the years in post. */
function expectedCases(hospital: Hospital, position: Position, surgeon: Surgeon): number {
  const share = position.weight / hospital.positions.reduce((sum, p) => sum + p.weight, 0);
  let years = 0;
  for (let day = Math.max(surgeon.from, openedDay); day <= Math.min(surgeon.to, closingDay); day += 91) years += valueIn(volume, yearOf(day)) / 4;
  return hospital.weight * share * years;
}

/** Log-normal volumes at evenly spaced quantiles, in random order: no draw can hand one hospital a fifth of the country. */
function volumeWeights(random: RandomStream, count: number): number[] {
  const weights = Array.from({ length: count }, (_, i) => Math.exp(network.hospitalVolumeSd * normalQuantile((i + 0.5) / count)));
  for (let i = count - 1; i > 0; i--) {
    const j = random.integer(i + 1);
    [weights[i], weights[j]] = [weights[j]!, weights[i]!];
  }
  return weights;
}

export function drawNetwork(seed: number, procedures: number): Network {
  const count = Math.max(network.fewestHospitals, Math.round(network.hospitalsAt40000 * Math.sqrt(procedures / 40000)));
  const weights = volumeWeights(new RandomStream(seed, purposes.network, 0), count);
  const total = weights.reduce((sum, w) => sum + w, 0);
  const hospitals: Hospital[] = [];
  let surgeonCount = 0;
  for (const [index, weight] of weights.entries()) {
    const yearly = (weight / total) * procedures * network.lastYearShare;
    const positions = Math.min(network.mostPositions, Math.max(1, Math.round(yearly / network.yearlyCasesPerPosition)));
    const hospital = drawHospital(new RandomStream(seed, purposes.network, index + 1), index, weight, positions, surgeonCount);
    surgeonCount += hospital.positions.reduce((sum, p) => sum + p.surgeons.length, 0);
    hospitals.push(hospital);
  }

  const bySize = [...hospitals].sort((a, b) => b.weight - a.weight);
  bySize.forEach((hospital, i) => { hospital.rank = i + 1; });
  for (const { rank, joined } of network.lateJoiners) {
    const late = bySize[rank - 1];
    if (late) late.joinedDay = dayOf(joined);
  }
  const plantedHospitals = planted.hospitals.map(({ rank, ratio }) => {
    const hospital = bySize[rank - 1]!;
    hospital.ratio = ratio;
    for (const surgeon of hospital.positions.flatMap((p) => p.surgeons)) surgeon.ratio = 1; // the excess is the hospital's alone
    return hospital;
  });
  const careersBySize = hospitals
    .filter((h) => !plantedHospitals.includes(h) && h.joinedDay === openedDay)
    .flatMap((h) => h.positions.flatMap((p) => p.surgeons.map((surgeon) => ({ surgeon, hospital: h, cases: expectedCases(h, p, surgeon) }))))
    .sort((a, b) => b.cases - a.cases);
  const { surgeon: plantedSurgeon, hospital: itsHospital } = careersBySize[planted.surgeon.rank - 1]!;
  plantedSurgeon.ratio = planted.surgeon.ratio;
  itsHospital.ratio = 1; // the excess is the surgeon's alone

  return {
    hospitals, plantedHospitals, plantedSurgeon,
    surgeons: hospitals.flatMap((h) => h.positions.flatMap((p) => p.surgeons)),
    pickHospital: hospitalPicker(hospitals),
  };
}

function hospitalPicker(hospitals: readonly Hospital[]): Network['pickHospital'] {
  const cumulative: number[] = [];
  hospitals.reduce((sum, h) => (cumulative[h.index] = sum + h.weight), 0);
  const all = cumulative[cumulative.length - 1]!;
  const backDays = Math.round(network.backYears * daysPerYear);
  return (random, day) => {
    for (;;) {
      const target = random.uniform() * all;
      let low = 0;
      let high = hospitals.length - 1;
      while (low < high) {
        const middle = (low + high) >> 1;
        if (cumulative[middle]! > target) high = middle;
        else low = middle + 1;
      }
      const hospital = hospitals[low]!;
      if (hospital.joinedDay === openedDay || day >= hospital.joinedDay - backDays) return hospital;
    }
  };
}

/** The number of a post of the hospital, the busier ones more often. */
export const pickPost = (random: RandomStream, hospital: Hospital): number => random.weighted(hospital.positions.map((p) => p.weight));

/** Who holds the post on that day. */
export const holder = (hospital: Hospital, post: number, day: number): Surgeon => hospital.positions[post]!.surgeons.find((s) => day <= s.to)!;

/** The maker whose implants are used: the hospital's main one, its second, or any. */
export function pickMaker(random: RandomStream, hospital: Hospital): string {
  const u = random.uniform();
  if (u < makerLoyalty.main) return hospital.mainMaker;
  return u < makerLoyalty.main + makerLoyalty.second ? hospital.secondMaker : random.one(Object.keys(makers));
}
