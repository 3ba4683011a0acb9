import type { TableName } from '../lib/contract/tables';
import { isoOf } from './calendar';
import type { Row, Sink } from './sink';

/** A clean procedure with its rows, about to be written. */
export interface CleanProcedure {
  readonly sequence: number;
  readonly day: number;
  readonly procedure: Row;
  readonly components: readonly Row[];
}

/** The errors that a load report should find, and how many of each. */
export const plantedErrorCounts = {
  revision_before_primary: 6,
  death_before_procedure: 6,
  duplicate_procedure_key: 5,
  revision_without_primary: 6,
  impossible_age: 4,
  unknown_code: 5,
  model_not_in_catalogue: 5,
  two_primaries_on_one_side: 4,
} as const;
export type PlantedRule = keyof typeof plantedErrorCounts;

export interface PlantedRow { readonly rule: PlantedRule; readonly table: TableName; readonly key: string }

/** Rules in turn, so that each is spread over the years: 1st of each, 2nd of each … */
const queue: readonly PlantedRule[] = Array.from({ length: Math.max(...Object.values(plantedErrorCounts)) }, (_, i) =>
  (Object.keys(plantedErrorCounts) as PlantedRule[]).filter((rule) => plantedErrorCounts[rule] > i)).flat();

/** Plants errors at even distances between 5 and 75 per cent of the procedures, in single, unrevised, living patients. */
export class PlantedErrors {
  readonly rows: PlantedRow[] = [];

  constructor(private readonly procedures: number, private readonly idOf: (letter: string, index: number) => string) {}

  due(sequence: number): boolean {
    const next = this.rows.length;
    return next < queue.length && sequence >= Math.floor(this.procedures * (0.05 + (0.7 * next) / queue.length));
  }

  /** Writes the procedure with the next error in it. */
  write(sink: Sink, clean: CleanProcedure): void {
    const number = this.rows.length;
    const rule = queue[number]!;
    const { day, procedure, components } = clean;
    const id = procedure['procedure_id'] as string;
    const unused = (letter: string) => this.idOf(letter, this.procedures + number); // beyond every number that is given out
    const plant = (table: TableName, key: string) => this.rows.push({ rule, table, key });
    const revision = (changes: Row): Row => ({
      revision_id: unused('R'), procedure_id: id, patient_id: procedure['patient_id']!, joint: procedure['joint']!, side: procedure['side']!,
      revision_date: isoOf(day + 200), kind: 'major', reasons: 'infection', components_removed: components[0]!['role']!, ...changes,
    });
    const writeAll = (p: Row, c: readonly Row[]) => {
      sink.write('procedures', p);
      for (const row of c) sink.write('components', row);
    };

    switch (rule) {
      case 'impossible_age':
        writeAll({ ...procedure, age_years: 199 }, components);
        plant('procedures', id);
        return;
      case 'unknown_code':
        writeAll({ ...procedure, class: 'shoulder_total' }, components);
        plant('procedures', id);
        return;
      case 'model_not_in_catalogue':
        writeAll(procedure, components.map((c, i) => (i === 0 ? { ...c, model_code: 'Z-ZZZ-99' } : c)));
        plant('components', id);
        return;
      case 'duplicate_procedure_key':
        writeAll(procedure, components);
        sink.write('procedures', procedure);
        plant('procedures', id);
        return;
      case 'two_primaries_on_one_side': {
        const again = unused('P');
        writeAll(procedure, components);
        writeAll({ ...procedure, procedure_id: again, procedure_date: isoOf(day + 300) }, components.map((c) => ({ ...c, procedure_id: again })));
        plant('procedures', again);
        return;
      }
      case 'revision_before_primary':
        writeAll(procedure, components);
        sink.write('revisions', revision({ revision_date: isoOf(day - 40) }));
        plant('revisions', unused('R'));
        return;
      case 'revision_without_primary':
        writeAll(procedure, components);
        sink.write('revisions', revision({ procedure_id: null, patient_id: unused('A') }));
        plant('revisions', unused('R'));
        return;
      case 'death_before_procedure':
        writeAll(procedure, components);
        sink.write('deaths', { patient_id: procedure['patient_id']!, death_date: isoOf(day - 100) });
        plant('deaths', procedure['patient_id'] as string);
        return;
    }
  }
}
