import type { z } from 'zod';
import type { Component, Procedure, Revision } from '../lib/contract/tables';
import { closingDay, isoOf, valueIn, yearOf, type YearCurve } from './calendar';
import type { Approach, Side } from './codes';
import { chooseConstruct, type Construct } from './construct';
import { infectionRatios, patientRatios } from './hazards';
import type { LearningCurve } from './learningCurve';
import { holder, pickMaker, type Surgeon } from './network';
import { asaGrade, completedYears, type Patient } from './patient';
import { purposes, RandomStream } from './random';
import { drawReoperations, reported, type Reoperation } from './reoperations';
import type { Multipliers } from './revisionHazard';
import * as scenario from './scenario';
import { drawVisitDetails } from './visitDetails';
import { drawVisits, isFollowed, type Followed, type VisitRow } from './visits';

/** A primary procedure with all that the registry holds of it. The keys of its re-operations are given when they are written. */
export interface DrawnProcedure {
  readonly day: number;
  readonly construct: Construct;
  readonly procedure: z.infer<typeof Procedure>;
  readonly components: readonly z.infer<typeof Component>[];
  readonly revisions: readonly Omit<z.infer<typeof Revision>, 'revision_id'>[];
  readonly visits: readonly VisitRow[];
  readonly isRevised: boolean;
  readonly isPlain: boolean; // one side, nothing but the operation to tell
}

const plantedModels = new Map<string, number>(scenario.planted.components.map((c) => [c.model, c.ratio]));

function multipliersOf(patient: Patient, construct: Construct, surgeon: Surgeon, learning: number, age: number, asa: number): Multipliers {
  const planted = construct.models.reduce((ratio, m) => ratio * (plantedModels.get(m.code) ?? 1), 1);
  return {
    all: planted * patient.frailty * patient.hospital.ratio * surgeon.ratio * learning *
      patientRatios.agePerTenYears ** ((age - 70) / 10) * (patient.sex === 'male' ? patientRatios.men : 1) *
      patientRatios.indication[patient.indication],
    infection: infectionRatios.perAsaGrade ** Math.max(0, asa - 2) * infectionRatios.perBmiUnit ** Math.max(0, patient.bmi - 28),
  };
}

function chooseApproach(random: RandomStream, patient: Patient, year: number): Approach {
  switch (patient.joint) {
    case 'shoulder': return random.chance(valueIn(scenario.otherChoices.deltopectoral, year)) ? 'deltopectoral' : 'anterosuperior';
    case 'hip': return random.chance(scenario.otherChoices.posteriorHip) ? 'posterior' : 'lateral';
    case 'knee': return 'medial_parapatellar';
  }
}

function revisionRow(random: RandomStream, procedure: z.infer<typeof Procedure>, day: number, r: Reoperation): DrawnProcedure['revisions'][number] {
  return {
    procedure_id: random.chance(scenario.unlinkedRevisions) ? null : procedure.procedure_id,
    patient_id: procedure.patient_id, joint: procedure.joint, side: procedure.side, revision_date: isoOf(day + r.days), kind: r.kind,
    reasons: r.reasons.join(';'), components_removed: r.removed.length > 0 ? r.removed.join(';') : null,
  };
}

/** The operation on a patient's first or second side. Must be called in the order of the calendar, for the learning curve. */
export function drawProcedure(seed: number, learning: LearningCurve, patient: Patient, day: number, second: boolean, id: string): DrawnProcedure {
  const stream = (purpose: number) => new RandomStream(seed, purpose, patient.index * 2 + Number(second));
  const { hospital } = patient;
  const random = stream(purposes.procedure);
  const age = completedYears(patient.birthDay, day);
  const year = yearOf(day);
  const asa = asaGrade(patient, day);
  const surgeon = holder(hospital, patient.post, day);
  const construct = chooseConstruct[patient.joint](random, { indication: patient.indication, age, year, maker: pickMaker(random, hospital) });

  const outcome = stream(purposes.outcome);
  const lastDay = Math.min(closingDay, patient.deathDay, patient.leavesDay);
  const entry = hospital.joinedDay > day ? hospital.joinedDay : null;
  const multipliers = multipliersOf(patient, construct, surgeon, learning.use(surgeon, construct), age, asa);
  const drawn = drawReoperations(outcome, construct, multipliers, entry === null ? 0 : entry - day + 1, lastDay - day);
  const known = reported(outcome, drawn, closingDay - day);

  // Record keeping: a cell is more often left empty in some hospitals.
  const keep = <T>(value: T, curve: YearCurve): T | null => {
    const share = valueIn(curve, year);
    const logit = Math.log(share / (1 - share)) + hospital.recordKeeping;
    return random.uniform() < 1 / (1 + Math.exp(-logit)) ? null : value;
  };
  const side: Side = second === (patient.firstSide === 'left') ? 'right' : 'left';
  const procedure: z.infer<typeof Procedure> = {
    procedure_id: id, patient_id: patient.id, procedure_date: isoOf(day), joint: patient.joint, side, class: construct.class,
    indication: patient.indication, age_years: age, sex: patient.sex,
    asa_grade: keep(asa, scenario.missing.asa),
    bmi: keep(Math.round(patient.bmi * 10) / 10, scenario.missing.bmi),
    approach: keep(chooseApproach(random, patient, year), scenario.missing.approach),
    proximal_fixation: keep(construct.proximalFixation, scenario.missing.fixation),
    distal_fixation: keep(construct.distalFixation, scenario.missing.fixation),
    hospital_id: hospital.id, surgeon_id: surgeon.id, region: hospital.region,
    follow_up_start: entry === null ? null : isoOf(entry),
    follow_up_end: patient.leavesDay === Infinity ? null : isoOf(patient.leavesDay),
  };
  const components = construct.models.map((model) => ({
    procedure_id: id, role: model.role, model_code: model.code, design_class: model.design, material: model.material,
    size: random.one(model.sizes), lot: null, udi_di: year >= scenario.udiFrom ? `DI-${model.code}` : null,
  }));

  const firstRevision = drawn.find((r) => r.kind !== 'reoperation');
  const followed: Followed = {
    procedureId: id, day, construct,
    lastDay: firstRevision ? Math.min(lastDay, day + firstRevision.days) : lastDay,
    willLoosen: firstRevision?.reasons.includes('glenoid_loosening') ?? false,
  };
  const planned = isFollowed(hospital.index, day, construct) ? drawVisits(stream(purposes.visits), followed) : null;
  const visits = planned === null ? [] : drawVisitDetails(stream(purposes.visitDetails), followed, planned);
  return {
    day, construct, procedure, components, visits,
    revisions: known.map((r) => revisionRow(outcome, procedure, day, r)),
    isRevised: known.some((r) => r.kind !== 'reoperation'),
    isPlain: drawn.length === 0 && (planned?.rows.length ?? 0) === 0 && patient.secondDay === null && lastDay === closingDay && entry === null && patient.joint === 'shoulder',
  };
}
