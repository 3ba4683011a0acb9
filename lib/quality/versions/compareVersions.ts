import { stepOf, type AnalysisOptions } from '../../analysis/step';
import type { LoadedExtract, Source } from '../../engine/loadedExtract';
import { compareTable, type TableChange } from './compareTable';
import { procedureColumns, reoperationColumns, type VersionColumn } from './versionColumns';

/** What changed from an older version of an extract to the loaded one, among the records that each of them keeps. */
export interface VersionChanges {
  readonly older: Source;
  readonly newer: Source;
  readonly procedures: TableChange;
  readonly reoperations: TableChange;
  readonly deaths: TableChange;
  readonly models: TableChange;
}

const plain = (name: string, label: string, sql: string): VersionColumn => ({ name, label, sql, same: sql, list: null, ownEnum: null, told: false });
const day = (name: string): string => `(${name} - DATE '1970-01-01')::DOUBLE`;
const hash = (name: string): string => `(hash(${name}::VARCHAR) >> 12)::DOUBLE`;

/** A re-operation without a key of its own is known by its procedure and day. */
const keyedReoperations = `(SELECT r.*, p.procedure_id, coalesce(r.revision_id,
    concat_ws(' ', p.procedure_id, r.revision_date, row_number() OVER (PARTITION BY r.procedure, r.revision_date ORDER BY r.record))) AS key
  FROM revisions r JOIN procedures p USING (procedure)) r`;

/** Compares two extracts record by record: procedures and re-operations by their keys, deaths by patient, the catalogue by model. Throws the signal's reason when aborted. */
export async function compareVersions(older: LoadedExtract, newer: LoadedExtract, options: AnalysisOptions = {}): Promise<VersionChanges> {
  const step = stepOf(options), between = [older.database, newer.database] as const;
  await step('Comparing the procedures of both versions', 0);
  const procedures = await compareTable(...between, {
    table: 'procedures', key: 'p.procedure_id', record: 'p.record', from: 'procedures p JOIN followup f USING (procedure)', columns: procedureColumns,
  }, options.signal);
  await step('Comparing the re-operations of both versions', 0.6);
  const reoperations = await compareTable(...between, {
    table: 'revisions', key: 'r.key', record: 'r.record', from: keyedReoperations, columns: reoperationColumns,
  }, options.signal);
  await step('Comparing deaths and models of both versions', 0.8);
  const deaths = await compareTable(...between, {
    table: 'deaths', key: 'patient_id', record: '0', from: 'deaths', columns: [plain('death_date', 'Death date', day('death_date'))],
  }, options.signal);
  const models = await compareTable(...between, {
    table: 'models', key: 'model_code', record: '0', from: 'models', columns: [
      plain('maker_code', 'Maker', hash('maker_code')), plain('role', 'Role', hash('role')), plain('design_class', 'Design class', hash('design_class')),
      plain('fixation_intended', 'Fixation intended', hash('fixation_intended')), plain('bearing_material', 'Bearing material', hash('bearing_material')),
      plain('first_used', 'First used', day('first_used')), plain('last_used', 'Last used', day('last_used')),
    ],
  }, options.signal);
  return { older: older.source, newer: newer.source, procedures, reoperations, deaths, models };
}
