import { codeLists, roleCodes, labelOf } from '../../contract/codes';
import type { Field } from '../../contract/fields';
import type { MappableTable, TableMapping, TextLayout } from '../../contract/mapping';
import type { FoundSource } from '../../intake/inspection';
import { formatCount, formatDecimal } from '../format';
import { capital } from '../phrases';

/** The tables of the contract in plain words. */
export const tableWords: Readonly<Record<MappableTable, string>> = {
  procedures: 'Primary procedures', components: 'Their components', models: 'Catalogue of models', revisions: 'Re-operations', deaths: 'Deaths',
  followups: 'Follow-up visits',
};

export const tableGrains: Readonly<Record<MappableTable, string>> = {
  procedures: 'a record for each joint that was replaced', components: 'a record for each implanted part of a procedure', models: 'a record for each model',
  revisions: 'a record for each operation after the primary', deaths: 'a record for each patient who died', followups: 'a record for each planned visit',
};

/** … with what tells records of one table in a file apart. */
export function recordsWords({ table, when, fields }: TableMapping): string {
  const { role } = fields;
  if (role !== undefined && 'constant' in role) return `${tableWords[table]}: ${labelOf(roleCodes, role.constant).toLowerCase()}`;
  return when === null ? tableWords[table] : `${tableWords[table]}, where ‘${when}’ is filled`;
}

const acronyms: Readonly<Record<string, string>> = { asa: 'ASA', bmi: 'BMI', udi: 'UDI', di: 'DI', id: 'identifier', mm: '(mm)', deg: '(degrees)' };

/** `age_years` → `Age years`, `procedure_id` → `Procedure identifier`. */
export function fieldWords({ name }: Pick<Field, 'name'>): string {
  const words = name.split('_').map((word) => acronyms[word] ?? word).join(' ');
  return capital(words);
}

export const delimiterWords: Readonly<Record<TextLayout['delimiter'], string>> = { ',': 'comma', ';': 'semicolon', '\t': 'tab', '|': 'vertical bar' };
export const encodingWords: Readonly<Record<TextLayout['encoding'], string>> = {
  'utf-8': 'UTF-8', 'windows-1252': 'Windows-1252 (Latin-1)', 'utf-16le': 'UTF-16, little-endian', 'utf-16be': 'UTF-16, big-endian',
};
export const decimalWords: Readonly<Record<TextLayout['decimal'], string>> = { '.': 'point (24.5)', ',': 'comma (24,5)' };
/** `Comma between cells, UTF-8, decimal point, names of columns in line 1`. */
export const layoutWords = ({ delimiter, encoding, decimal, headerLine }: TextLayout): string =>
  `${capital(delimiterWords[delimiter])} between cells, ${encodingWords[encoding]}, decimal ${decimal === '.' ? 'point' : 'comma'}, names of columns in line ${headerLine}`;
export const formatWords: Readonly<Record<FoundSource['format'], string>> = { text: 'Text', workbook: 'Workbook', parquet: 'Parquet', arrow: 'Arrow' };

export const sourceName = ({ file, sheet }: { readonly file: string; readonly sheet: string | null }): string => (sheet === null ? file : `${file}, sheet ${sheet}`);

export function sizeWords(bytes: number): string {
  if (bytes < 1000) return `${formatCount(bytes)} bytes`;
  return bytes < 1e6 ? `${formatCount(bytes / 1e3)} kB` : bytes < 1e9 ? `${formatDecimal(bytes / 1e6)} MB` : `${formatDecimal(bytes / 1e9)} GB`;
}

export const rowsWords = ({ rows, allRows }: FoundSource): string =>
  allRows === rows ? `${formatCount(rows)} rows` : allRows === null ? `the first ${formatCount(rows)} rows looked at` : `${formatCount(allRows)} rows, the first ${formatCount(rows)} looked at`;

/** The codes that a field may have, with their words. */
export const codesFor = ({ list }: Field): readonly { readonly code: string; readonly label: string }[] => (list === null ? [] : codeLists[list]);
