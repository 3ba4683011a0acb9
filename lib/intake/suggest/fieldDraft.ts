import { codeLists, type Joint } from '../../contract/codes';
import type { Field } from '../../contract/fields';
import type { FieldSource } from '../../contract/mapping';
import type { FoundColumn, FoundSource } from '../inspection';
import type { Confidence, OpenQuestion } from '../suggestion';
import { dateOrderLabels } from '../suggestion';
import { codeFor, meansMissing } from './values';

export interface FieldDraft {
  readonly source: FieldSource;
  readonly confidence: Confidence;
  readonly why: string;
  readonly questions: readonly OpenQuestion[];
}

const separators = [';', '+', '|', '/', ','] as const;
const cited = (values: readonly string[]): string => values.slice(0, 6).map((value) => `‘${value}’`).join(', ') + (values.length > 6 ? ` and ${values.length - 6} more` : '');

/** A field drawn from a column: how its values become those of the dictionary, and what is left to ask. Null where the column holds something else. */
export function draftField(field: Field, column: FoundColumn, found: FoundSource, { path, byName, joint }: { readonly path: string; readonly byName: Confidence; readonly joint: Joint | null }): FieldDraft | null {
  const named = byName === 'certain' ? `${column.name} has the name of the data dictionary.` : `${column.name} is a usual name for it.`;
  if (field.kind === 'code' || field.kind === 'codes') return draftCodes(field, column, path, byName, named, joint);
  const values = column.values ?? [];
  const missing = values.filter(({ value }) => meansMissing(value)).map(({ value }) => value);
  const more = { ...(missing.length > 0 && field.kind !== 'text' ? { missing } : { missing: [] }) };
  if (field.kind === 'date') {
    if (column.kind !== 'day' && column.kind !== 'empty') return null;
    const [order] = column.dateOrders;
    if (column.dateOrders.length === 1 && order !== undefined) {
      return { source: { column: column.name, ...more, ...(found.format === 'text' || order !== 'year-month-day' ? { dates: order } : {}) }, confidence: byName, why: `${named} Its days can only be read as ${dateOrderLabels[order].split(' (')[0] ?? ''}.`, questions: [] };
    }
    const options = column.dateOrders.map((value) => ({ value, label: dateOrderLabels[value] }));
    const questions = column.kind === 'empty' ? [] : [{ path: `${path}.dates`, about: 'dates' as const, text: `In which order are the days of ${column.name} written? Every one that was looked at fits more than one order${example(column)}.`, options }];
    return { source: { column: column.name, ...more }, confidence: 'unsure', why: named, questions };
  }
  if (field.kind === 'integer' || field.kind === 'number') {
    const fits = column.kind === 'whole number' || column.kind === 'number' || column.kind === 'empty' || mostlyNumbers(column);
    return fits ? { source: { column: column.name, ...more }, confidence: byName, why: named, questions: [] } : null;
  }
  return column.kind === 'day' ? null : { source: { column: column.name, ...more }, confidence: byName, why: named, questions: [] };
}

const example = ({ values }: FoundColumn): string => (values?.[0] === undefined ? '' : `, ${values[0].value} for one`);
const mostlyNumbers = ({ values, filled }: FoundColumn): boolean =>
  values !== null && values.filter(({ value }) => !/^-?\d+([.,]\d+)?$/.test(value) && !meansMissing(value)).reduce((sum, { rows }) => sum + rows, 0) * 5 < filled;

function draftCodes(field: Field, column: FoundColumn, path: string, byName: Confidence, named: string, joint: Joint | null): FieldDraft | null {
  const { list } = field;
  if (list === null || column.values === null) return null; // more values than any list has codes
  const separator = field.kind === 'codes' ? separatorOf(list, column.values.map(({ value }) => value), joint) : null;
  const single = new Map<string, number>();
  for (const { value, rows } of column.values) for (const part of separator === null ? [value] : value.split(separator)) single.set(part.trim(), (single.get(part.trim()) ?? 0) + rows);
  const codes: Record<string, string | null> = {}, unknown: string[] = [], missing: string[] = [];
  let guessed = false;
  for (const value of single.keys()) {
    const found = codeFor(list, value, joint);
    if (found !== null) {
      guessed ||= !found.sure;
      if (found.code !== value) codes[value] = found.code;
    } else if (value !== '' && meansMissing(value)) {
      missing.push(value);
    } else if (value !== '') {
      unknown.push(value);
    }
  }
  if (single.size > 0 && unknown.length === single.size && byName !== 'certain' && single.size > 30) return null;
  const source: FieldSource = {
    column: column.name, missing, ...(Object.keys(codes).length > 0 ? { codes } : {}), ...(separator === null || separator === ';' ? {} : { separator }),
  };
  const options = codeLists[list].map(({ code, label }) => ({ value: code, label }));
  const questions = unknown.map((value) => ({ path: `${path}.codes.${value}`, about: 'codes' as const, text: `What does ‘${value}’ in ${column.name} stand for?`, options }));
  const confidence: Confidence = unknown.length > 0 ? 'unsure' : byName === 'certain' && !guessed ? 'certain' : 'likely';
  const said = unknown.length > 0 ? ` ${cited(unknown)} ${unknown.length === 1 ? 'leads' : 'lead'} to no code yet.` : guessed ? ' Its values were matched by what they usually stand for.' : ' All its values are codes or labels of the list.';
  return { source, confidence, why: `${named}${single.size === 0 ? '' : said}`, questions };
}

/** What joins codes in a cell: the mark that leaves the fewest values without a code. */
function separatorOf(list: keyof typeof codeLists, values: readonly string[], joint: Joint | null): string {
  const unmatched = (mark: string): number => new Set(values.flatMap((value) => value.split(mark)).map((part) => part.trim()).filter((part) => part !== '' && codeFor(list, part, joint) === null)).size;
  return separators.reduce<string>((best, mark) => (unmatched(mark) < unmatched(best) ? mark : best), ';');
}
