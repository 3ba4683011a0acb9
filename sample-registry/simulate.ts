import type { z } from 'zod';
import type { Death, Registry } from '../lib/contract/tables';
import { closingDay, dailyQuotas, deathsClosingDay, isoOf } from './calendar';
import { ModelUse } from './catalogue';
import { LearningCurve } from './learningCurve';
import { drawNetwork } from './network';
import { drawPatient, type Patient } from './patient';
import { PlantedErrors } from './plantedErrors';
import { drawProcedure } from './procedure';
import { extract } from './scenario';
import type { Sink } from './sink';
import { describeTruth, type Truth } from './truth';

export interface SimulationOptions {
  readonly procedures: number; // 1 … 5 million
  readonly seed: number; // 0 … 2³² − 1
}

/** Second sides in wait by day, as pairs (patient number, day of the first side): the patient is drawn again when the day comes. */
class SecondSides {
  private readonly byDay = new Map<number, number[]>();
  private due: number[] = [];

  plan({ index, firstDay, secondDay }: Patient): void {
    if (secondDay === null) return;
    const list = this.byDay.get(secondDay);
    if (list) list.push(index, firstDay);
    else this.byDay.set(secondDay, [index, firstDay]);
  }

  arrive(day: number): void {
    this.due = this.due.concat(this.byDay.get(day) ?? []);
    this.byDay.delete(day);
  }

  next(): readonly [index: number, firstDay: number] | null {
    return this.due.length === 0 ? null : (this.due.splice(0, 2) as [number, number]);
  }
}

/** Writes a whole extract, procedure by procedure in the order of the calendar, and returns what is true of it. */
export function simulate({ procedures, seed }: SimulationOptions, sink: Sink): Truth {
  const digits = Math.max(6, String(2 * procedures).length);
  const idOf = (letter: string, index: number) => letter + String(index + 1).padStart(digits, '0');
  const network = drawNetwork(seed, procedures);
  const learning = new LearningCurve(network.surgeons);
  const modelUse = new ModelUse();
  const errors = new PlantedErrors(procedures, idOf);
  const counts = { patients: 0, procedures: 0, firstRevisions: 0, deaths: 0, revisions: 0 };
  const secondSides = new SecondSides();

  const patientOf = (index: number, firstDay: number) => drawPatient(seed, network, index, firstDay, idOf('A', index));

  const operate = (patient: Patient, day: number, second: boolean): void => {
    const drawn = drawProcedure(seed, learning, patient, day, second, idOf('P', counts.procedures++));
    for (const model of drawn.construct.models) modelUse.record(model, day);
    if (drawn.isPlain && errors.due(counts.procedures, day)) {
      errors.write(sink, drawn);
      return;
    }
    sink.write('procedures', drawn.procedure);
    for (const row of drawn.components) sink.write('components', row);
    for (const row of drawn.revisions) sink.write('revisions', { revision_id: idOf('R', counts.revisions++), ...row });
    for (const row of drawn.visits) sink.write('followups', row);
    if (drawn.isRevised) counts.firstRevisions++;
  };

  const admit = (day: number): Patient => {
    const patient = patientOf(counts.patients++, day);
    if (patient.deathDay <= Math.min(deathsClosingDay, patient.leavesDay)) {
      counts.deaths++;
      sink.write('deaths', { patient_id: patient.id, death_date: isoOf(patient.deathDay) } satisfies z.infer<typeof Death>);
    }
    return patient;
  };

  for (const { day, quota } of dailyQuotas(procedures)) {
    secondSides.arrive(day);
    for (let done = 0; done < quota; done++) {
      const waiting = secondSides.next();
      const patient = waiting ? patientOf(...waiting) : admit(day);
      // A second side that had to wait for a working day may come too late.
      if (waiting && day > Math.min(patient.deathDay, patient.leavesDay)) done--;
      else operate(patient, day, waiting !== null);
      if (!waiting) secondSides.plan(patient);
    }
  }

  for (const row of modelUse.rows(closingDay)) sink.write('models', row);
  sink.write('registry', {
    name: extract.name, version: `sample-${procedures}-seed-${seed}`, opened: extract.opened, closing_date: extract.closingDate,
    deaths_closing_date: extract.deathsClosingDate, coverage_percent: extract.coveragePercent,
  } satisfies z.infer<typeof Registry>);
  return describeTruth({ procedures, seed }, network, errors.rows, counts);
}
