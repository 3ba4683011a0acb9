import type { RuleId } from '../lib/contract/rules';
import type { TableName } from '../lib/contract/tables';
import { closingDay, isoOf } from './calendar';
import type { DrawnProcedure } from './procedure';
import type { Row, Sink } from './sink';

/** The errors that a load report should find, by the rule of the contract that finds them, and how many of each. */
export const plantedErrorCounts = {
  before_procedure: 6, // a revision before its primary
  after_death: 6, // a primary after the patient's death
  duplicate_key: 5, // two procedures with one key
  no_primary: 6, // a revision of a joint that has no primary
  out_of_range: 4, // an age of 199
  unknown_code: 5, // a class that is not in the list
  not_in_catalogue: 5, // a component whose model is unknown
  second_primary: 4, // two primaries on one side without a revision between
} as const satisfies Partial<Record<RuleId, number>>;
export type PlantedRule = keyof typeof plantedErrorCounts;

export interface PlantedRow { readonly rule: PlantedRule; readonly table: TableName; readonly key: string }

/** Rules in turn, so that each is spread over the years: 1st of each, 2nd of each … */
const queue: readonly PlantedRule[] = Array.from({ length: Math.max(...Object.values(plantedErrorCounts)) }, (_, i) =>
  (Object.keys(plantedErrorCounts) as PlantedRule[]).filter((rule) => plantedErrorCounts[rule] > i)).flat();

/** Plants errors at even distances between 5 and 75 per cent of the procedures, in single, unrevised, living patients. */
export class PlantedErrors {
  readonly rows: PlantedRow[] = [];

  constructor(private readonly procedures: number, private readonly idOf: (letter: string, index: number) => string) {}

  due(sequence: number, day: number): boolean {
    const next = this.rows.length;
    return next < queue.length && closingDay - day > 800 && sequence >= Math.floor(this.procedures * (0.05 + (0.7 * next) / queue.length));
  }

  /** Writes the procedure with the next error in it. */
  write(sink: Sink, { day, procedure, components }: DrawnProcedure): void {
    const number = this.rows.length;
    const rule = queue[number]!;
    const id = procedure.procedure_id;
    const unused = (letter: string) => this.idOf(letter, this.procedures + number); // beyond every number that is given out
    const plant = (table: TableName, key: string) => this.rows.push({ rule, table, key });
    const revision = (changes: Row): Row => ({
      revision_id: unused('R'), procedure_id: id, patient_id: procedure.patient_id, joint: procedure.joint, side: procedure.side,
      revision_date: isoOf(day + 200), kind: 'major', reasons: 'infection', components_removed: components[0]!.role, ...changes,
    });
    const writeAll = (p: Row, c: readonly Row[]) => {
      sink.write('procedures', p);
      for (const row of c) sink.write('components', row);
    };

    switch (rule) {
      case 'out_of_range':
        writeAll({ ...procedure, age_years: 199 }, components);
        plant('procedures', id);
        return;
      case 'unknown_code':
        writeAll({ ...procedure, class: 'shoulder_total' }, components);
        plant('procedures', id);
        return;
      case 'not_in_catalogue':
        writeAll(procedure, components.map((c, i) => (i === 0 ? { ...c, model_code: 'Z-ZZZ-99' } : c)));
        plant('components', id);
        return;
      case 'duplicate_key':
        writeAll(procedure, components);
        sink.write('procedures', { ...procedure, procedure_date: isoOf(day + 1) });
        plant('procedures', id);
        return;
      case 'second_primary': {
        const again = unused('P');
        writeAll(procedure, components);
        writeAll({ ...procedure, procedure_id: again, procedure_date: isoOf(day + 300) }, components.map((c) => ({ ...c, procedure_id: again })));
        plant('procedures', again);
        return;
      }
      case 'before_procedure':
        writeAll(procedure, components);
        sink.write('revisions', revision({ revision_date: isoOf(day - 40) }));
        plant('revisions', unused('R'));
        return;
      case 'no_primary':
        writeAll(procedure, components);
        sink.write('revisions', revision({ procedure_id: null, patient_id: unused('A') }));
        plant('revisions', unused('R'));
        return;
      case 'after_death':
        writeAll(procedure, components);
        sink.write('deaths', { patient_id: procedure.patient_id, death_date: isoOf(day - 100) });
        plant('procedures', id);
        return;
    }
  }
}
