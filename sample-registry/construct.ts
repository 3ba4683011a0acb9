import type { Role } from '../lib/contract/codes';
import type { DesignClass, Fixation, Indication, ProcedureClass } from './codes';
import type { baseline } from './hazards';
import { valueIn } from './calendar';
import { chooseModel } from './catalogue';
import type { ScenarioModel } from './models';
import type { RandomStream } from './random';
import * as scenario from './scenario';

/** Classes that the scenario implants. */
export type ScenarioClass = keyof typeof baseline;

/** What was implanted. */
export interface Construct {
  readonly class: ScenarioClass;
  readonly models: readonly ScenarioModel[];
  readonly proximalFixation: Fixation;
  readonly distalFixation: Fixation;
}

export interface Circumstances {
  readonly indication: Indication;
  readonly age: number;
  readonly year: number; // with its fraction
  readonly maker: string;
}

function choose<K extends string>(random: RandomStream, options: Partial<Record<K, scenario.Option>>, { year, age }: Circumstances): K {
  const names = Object.keys(options) as K[];
  const weights = names.map((name) => {
    const option = options[name]!;
    return valueIn(option.weight, year) * Math.exp(((option.perTenYears ?? 0) * (age - 70)) / 10);
  });
  return names[random.weighted(weights)]!;
}

const oddsShift = (probability: number, logOdds: number) => {
  const odds = (probability / (1 - probability)) * Math.exp(logOdds);
  return odds / (1 + odds);
};

function shoulderClass(random: RandomStream, c: Circumstances): ScenarioClass {
  const table: Partial<Record<Indication | 'other', Partial<Record<ProcedureClass, scenario.Option>>>> = scenario.classes;
  return choose(random, (table[c.indication] ?? scenario.classes.other) as Partial<Record<ScenarioClass, scenario.Option>>, c);
}

type Stem = keyof typeof scenario.cementedStem;

function shoulder(random: RandomStream, c: Circumstances): Construct {
  const procedureClass = shoulderClass(random, c);
  const model = (role: Role, design: DesignClass) => chooseModel(random, role, design, c.maker, c.year);
  if (procedureClass === 'resurfacing') {
    return { class: procedureClass, models: [model('humeral_head', 'resurfacing_cap')], proximalFixation: 'none', distalFixation: 'uncemented' };
  }
  const stemOptions = c.indication === 'acute_fracture' ? scenario.stemDesigns.acute_fracture
    : scenario.stemDesigns[procedureClass as keyof typeof scenario.stemDesigns];
  const stem = choose<Stem>(random, stemOptions, c);
  const cemented = valueIn(scenario.cementedStem[stem], c.year);
  const distalFixation = random.chance(oddsShift(cemented, (scenario.cementedPerTenYears * (c.age - 70)) / 10)) ? 'cemented' : 'uncemented';
  if (procedureClass === 'reverse_total') {
    const sphere = random.chance(valueIn(scenario.otherChoices.lateralisedGlenosphere, c.year)) ? 'glenosphere_lateralised' : 'glenosphere_standard';
    const insert = random.chance(scenario.otherChoices.constrainedInsert) ? 'constrained_insert' : 'standard_insert';
    return {
      class: procedureClass, proximalFixation: 'uncemented', distalFixation,
      models: [model('glenoid', 'reverse_baseplate'), model('glenosphere', sphere), model('humeral_stem', stem), model('humeral_insert', insert)],
    };
  }
  const bearing = [model('humeral_stem', stem), model('humeral_head', 'modular_head')];
  if (procedureClass === 'hemi') return { class: procedureClass, proximalFixation: 'none', distalFixation, models: bearing };
  const design = choose(random, scenario.glenoidDesigns, c);
  const proximalFixation = design === 'metal_backed' ? 'uncemented'
    : design === 'all_poly_fluted_peg' && random.chance(scenario.flutedPegHybrid) ? 'hybrid' : 'cemented';
  return { class: procedureClass, proximalFixation, distalFixation, models: [model('glenoid', design), ...bearing] };
}

function hip(random: RandomStream, c: Circumstances): Construct {
  const model = (role: Role, design: DesignClass) => chooseModel(random, role, design, c.maker, c.year);
  return {
    class: 'total_hip', proximalFixation: 'uncemented', distalFixation: random.chance(scenario.otherChoices.cementedHipStem) ? 'cemented' : 'uncemented',
    models: [model('acetabular_cup', 'shell'), model('acetabular_liner', 'standard_insert'), model('femoral_stem', 'standard_stem'), model('femoral_head', 'modular_head')],
  };
}

function knee(random: RandomStream, c: Circumstances): Construct {
  const model = (role: Role, design: DesignClass) => chooseModel(random, role, design, c.maker, c.year);
  const { otherChoices } = scenario;
  const models = [
    model('knee_femoral', random.chance(otherChoices.posteriorStabilised) ? 'posterior_stabilised' : 'cruciate_retaining'),
    model('knee_tibial', random.chance(otherChoices.mobileBearing) ? 'mobile_bearing' : 'fixed_bearing'),
    model('knee_insert', 'standard_insert'),
  ];
  if (random.chance(otherChoices.patella)) models.push(model('patella', 'all_poly_patella'));
  return { class: 'total_knee', proximalFixation: 'cemented', distalFixation: 'cemented', models };
}

export const chooseConstruct = { shoulder, hip, knee } as const;
