import type { z } from 'zod';
import type { Component, Death, Procedure, Registry, Revision } from '../lib/contract/tables';
import { closingDay, dailyQuotas, deathsClosingDay, isoOf, valueIn, yearOf } from './calendar';
import { ModelUse } from './catalogue';
import { chooseConstruct, type Construct } from './construct';
import type { Side } from './codes';
import { infectionRatios, patientRatios } from './hazards';
import { LearningCurve } from './learningCurve';
import { drawNetwork, holder, pickMaker, type Hospital, type Surgeon } from './network';
import { asaGrade, completedYears, drawPatient, type Patient } from './patient';
import { PlantedErrors } from './plantedErrors';
import { purposes, RandomStream } from './random';
import { drawReoperations, reported, type Reoperation } from './reoperations';
import * as scenario from './scenario';
import type { Sink } from './sink';
import { describeTruth, type Truth } from './truth';
import { drawVisits, isFollowed } from './visits';

export interface SimulationOptions {
  readonly procedures: number; // 1 … 5 million
  readonly seed: number; // 0 … 2³² − 1
}

const plantedModels = new Map<string, number>(scenario.planted.components.map((c) => [c.model, c.ratio]));

/** Whether a cell is left empty, worse in hospitals with poor record keeping. */
function isMissing(random: RandomStream, probability: number, hospital: Hospital): boolean {
  const logit = Math.log(probability / (1 - probability)) + hospital.recordKeeping;
  return random.uniform() < 1 / (1 + Math.exp(-logit));
}

/** Writes a whole extract, procedure by procedure in the order of the calendar, and returns what is true of it. */
export function simulate({ procedures, seed }: SimulationOptions, sink: Sink): Truth {
  const network = drawNetwork(seed, procedures);
  const learning = new LearningCurve(network.surgeons.length);
  const modelUse = new ModelUse();
  const digits = Math.max(6, String(2 * procedures).length);
  const idOf = (letter: string, index: number) => letter + String(index + 1).padStart(digits, '0');
  const errors = new PlantedErrors(procedures, idOf);
  const counts = { patients: 0, procedures: 0, firstRevisions: 0, deaths: 0, revisions: 0 };

  function procedureOf(patient: Patient, day: number, second: boolean): void {
    const { hospital } = patient;
    const random = new RandomStream(seed, purposes.procedure, patient.index * 2 + Number(second));
    const age = completedYears(patient.birthDay, day);
    const year = yearOf(day);
    const surgeon = holder(hospital, patient.post, day);
    const construct = chooseConstruct[patient.joint](random, { indication: patient.indication, age, year, maker: pickMaker(random, hospital) });
    for (const model of construct.models) modelUse.record(model, day);
    const asa = asaGrade(patient, day);

    const outcome = new RandomStream(seed, purposes.outcome, patient.index * 2 + Number(second));
    const lastDay = Math.min(closingDay, patient.deathDay, patient.leavesDay);
    const entry = hospital.joinedDay > day ? hospital.joinedDay : null;
    const drawn = drawReoperations(outcome, construct, multipliers(patient, construct, surgeon, age, asa), entry === null ? 0 : entry - day + 1, lastDay - day);
    const reoperations = reported(outcome, drawn, closingDay - day);

    const id = idOf('P', counts.procedures++);
    const side: Side = second === (patient.firstSide === 'left') ? 'right' : 'left';
    const keep = <T>(value: T, curve: Parameters<typeof valueIn>[0]): T | null => (isMissing(random, valueIn(curve, year), hospital) ? null : value);
    const approach = patient.joint === 'shoulder'
      ? (random.chance(valueIn(scenario.otherChoices.deltopectoral, year)) ? 'deltopectoral' : 'anterosuperior')
      : patient.joint === 'hip' ? (random.chance(0.6) ? 'posterior' : 'lateral') : 'medial_parapatellar';
    const procedure: z.infer<typeof Procedure> = {
      procedure_id: id, patient_id: patient.id, procedure_date: isoOf(day), joint: patient.joint, side, class: construct.class,
      indication: patient.indication, age_years: age, sex: patient.sex,
      asa_grade: keep(asa, scenario.missing.asa),
      bmi: keep(Math.round(patient.bmi * 10) / 10, scenario.missing.bmi),
      approach: keep(approach, scenario.missing.approach),
      proximal_fixation: keep(construct.proximalFixation, scenario.missing.fixation),
      distal_fixation: keep(construct.distalFixation, scenario.missing.fixation),
      hospital_id: hospital.id, surgeon_id: surgeon.id, region: hospital.region,
      follow_up_start: entry === null ? null : isoOf(entry),
      follow_up_end: patient.leavesDay === Infinity ? null : isoOf(patient.leavesDay),
    };
    const components = construct.models.map((model): z.infer<typeof Component> => ({
      procedure_id: id, role: model.role, model_code: model.code, design_class: model.design, material: model.material,
      size: random.one(model.sizes), lot: null, udi_di: year >= scenario.udiFrom ? `DI-${model.code}` : null,
    }));

    const plain = reoperations.length === 0 && patient.secondDay === null && lastDay === closingDay && patient.joint === 'shoulder' && entry === null;
    const followed = isFollowed(hospital.index, day, construct);
    if (plain && !followed && closingDay - day > 800 && errors.due(counts.procedures)) {
      errors.write(sink, { sequence: counts.procedures, day, procedure, components });
      return;
    }
    sink.write('procedures', procedure);
    for (const row of components) sink.write('components', row);
    for (const r of reoperations) sink.write('revisions', revisionRow(outcome, procedure, day, r));
    const firstRevision = drawn.find((r) => r.kind !== 'reoperation');
    if (reoperations.some((r) => r.kind !== 'reoperation')) counts.firstRevisions++;
    if (followed) {
      const visits = new RandomStream(seed, purposes.visits, patient.index * 2 + Number(second));
      const inPlace = firstRevision ? Math.min(lastDay, day + firstRevision.days) : lastDay;
      const willLoosen = firstRevision?.reasons.includes('glenoid_loosening') ?? false;
      for (const row of drawVisits(visits, { procedureId: id, day, construct, lastDay: inPlace, willLoosen })) sink.write('followups', row);
    }
  }

  function multipliers(patient: Patient, construct: Construct, surgeon: Surgeon, age: number, asa: number) {
    const planted = construct.models.reduce((ratio, m) => ratio * (plantedModels.get(m.code) ?? 1), 1);
    return {
      all: planted * patient.frailty * patient.hospital.ratio * surgeon.ratio * learning.use(surgeon, construct) *
        patientRatios.agePerTenYears ** ((age - 70) / 10) * (patient.sex === 'male' ? patientRatios.men : 1) *
        patientRatios.indication[patient.indication],
      infection: infectionRatios.perAsaGrade ** Math.max(0, asa - 2) * infectionRatios.perBmiUnit ** Math.max(0, patient.bmi - 28),
    };
  }

  function revisionRow(random: RandomStream, procedure: z.infer<typeof Procedure>, day: number, r: Reoperation): z.infer<typeof Revision> {
    return {
      revision_id: idOf('R', counts.revisions++),
      procedure_id: random.chance(scenario.unlinkedRevisions) ? null : procedure.procedure_id,
      patient_id: procedure.patient_id, joint: procedure.joint, side: procedure.side, revision_date: isoOf(day + r.days), kind: r.kind,
      reasons: r.reasons.join(';'), components_removed: r.removed.length > 0 ? r.removed.join(';') : null,
    };
  }

  function newPatient(day: number): Patient {
    const index = counts.patients++;
    const patient = drawPatient(seed, network, index, day, idOf('A', index));
    if (patient.deathDay <= Math.min(deathsClosingDay, patient.leavesDay)) {
      counts.deaths++;
      sink.write('deaths', { patient_id: patient.id, death_date: isoOf(patient.deathDay) } satisfies z.infer<typeof Death>);
    }
    return patient;
  }

  // Second sides wait here by day as (patient number, day of the first side); the patient is drawn again when the day comes.
  const waiting = new Map<number, number[]>();
  let due: number[] = [];
  for (const { day, quota } of dailyQuotas(procedures)) {
    const today = waiting.get(day);
    if (today) due = due.concat(today);
    waiting.delete(day);
    let done = 0;
    while (done < quota && due.length > 0) {
      const [index, firstDay] = due.splice(0, 2) as [number, number];
      const patient = drawPatient(seed, network, index, firstDay, idOf('A', index));
      if (day > Math.min(patient.deathDay, patient.leavesDay)) continue;
      procedureOf(patient, day, true);
      done++;
    }
    for (; done < quota; done++) {
      const patient = newPatient(day);
      procedureOf(patient, day, false);
      if (patient.secondDay !== null) {
        const list = waiting.get(patient.secondDay);
        if (list) list.push(patient.index, day);
        else waiting.set(patient.secondDay, [patient.index, day]);
      }
    }
  }

  for (const row of modelUse.rows(closingDay)) sink.write('models', row);
  const { extract } = scenario;
  sink.write('registry', {
    name: extract.name, version: `sample-${procedures}-seed-${seed}`, opened: extract.opened, closing_date: extract.closingDate,
    deaths_closing_date: extract.deathsClosingDate, coverage_percent: extract.coveragePercent,
  } satisfies z.infer<typeof Registry>);
  return describeTruth({ procedures, seed }, network, errors.rows, counts);
}
