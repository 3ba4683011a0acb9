import { sql, type LoadingDatabase } from '../database';
import { createEnum } from './acceptedTables';
import { staging } from './loading';

/** The type of models in components: the enum of the catalogue, or any text where the extract has no catalogue. */
export async function createModelType(database: LoadingDatabase, catalogued: boolean): Promise<void> {
  if (catalogued) await createEnum(database, 'model_code', `SELECT DISTINCT model_code FROM ${staging('models')}`);
  else await database.query(sql('CREATE TYPE model_code AS VARCHAR'));
}

/**
 * Where the extract has no catalogue: a row in it per model that its components name, and the enum of these models. Role and design class
 * are those that all components of the model have; where they do not agree there is nobody to say which of them is right, so that each
 * component stays as it was recorded, and the row of the model leaves open (null) what they disagree on. The load report counts such models.
 */
export async function deriveModels(database: LoadingDatabase): Promise<void> {
  const components = staging('components');
  await database.query(sql(`ALTER TABLE ${components} ALTER model_code TYPE VARCHAR`));
  await database.query(sql('DROP TYPE model_code'));
  await createEnum(database, 'model_code', `SELECT DISTINCT model_code FROM ${components} WHERE model_code IS NOT NULL`);
  // Rows that were set aside are still in the storage, and have models that are not in the enum.
  await database.query(sql(`ALTER TABLE ${components} ALTER model_code TYPE model_code USING try_cast(model_code AS model_code)`));
  const agreed = (column: string): string => `CASE WHEN min(${column}) = max(${column}) THEN min(${column}) END AS ${column}`;
  await database.query(sql(`INSERT INTO ${staging('models')} BY NAME
    SELECT (row_number() OVER (ORDER BY model_code) - 1)::INTEGER AS record, * FROM (
      SELECT model_code::VARCHAR AS model_code, ${agreed('role')}, ${agreed('design_class')} FROM ${components} WHERE model_code IS NOT NULL GROUP BY model_code)`));
}
