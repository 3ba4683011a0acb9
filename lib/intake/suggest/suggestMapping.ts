import { codeLists, joints, type Joint } from '../../contract/codes';
import { fieldsOf } from '../../contract/fields';
import type { FieldSource, SourceMapping, TableMapping } from '../../contract/mapping';
import type { FoundSource, Inspection } from '../inspection';
import type { OpenQuestion, Reason, Suggestion } from '../suggestion';
import { draftField } from './fieldDraft';
import { patternOf } from './filePatterns';
import { registryDraft, registryQuestions } from './registryDraft';
import { tablesIn, type TableDraft } from './tablesIn';

/** A draft of a mapping from names and values of columns. What names and values do not tell is a question; nothing is decided. */
export function suggestMapping({ sources }: Inspection): Suggestion {
  const reasons: Reason[] = [], questions: OpenQuestion[] = [], unused: Suggestion['unused'][number][] = [];
  const registry = registryDraft(sources);
  questions.push(...registryQuestions(registry.row));
  const groups = grouped(sources.filter((source) => source !== registry.from));
  const joint = onlyJoint(sources);
  const drafted: SourceMapping[] = [];
  for (const group of groups) {
    const [source] = group;
    const drafts = source === undefined ? [] : tablesIn(source);
    if (source === undefined || drafts.length === 0) {
      for (const each of group) for (const { name, caution } of each.columns) unused.push({ file: each.file, sheet: each.sheet, column: name, why: caution ?? 'The file was not recognised as one of the tables.' });
      continue;
    }
    const at = `sources.${drafted.length}.tables`;
    const mapped = drafts.map((draft, i) => draftTable(draft, source, `${at}.${i}`, joint));
    reasons.push(...mapped.flatMap((each) => each.reasons));
    questions.push(...mapped.flatMap((each) => each.questions));
    const tables = mapped.map((each) => each.table), used = new Set(tables.flatMap(({ fields }) => Object.values(fields).map((from) => ('column' in from ? from.column : ''))));
    for (const { name, caution } of source.columns) if (!used.has(name)) unused.push({ file: source.file, sheet: source.sheet, column: name, why: caution ?? 'Its name is not known here.' });
    drafted.push({ file: patternOf(group.map(({ file }) => file)), sheet: source.sheet, layout: source.layout, tables });
  }
  if (!drafted.some(({ tables }) => tables.some(({ table }) => table === 'procedures'))) {
    questions.push({ path: 'sources', about: 'minimum', text: 'Which file holds the primary procedures? None has a column that is called the day of the operation.', options: [] });
  }
  return { mapping: { mapping: 1, registry: registry.row, sources: drafted }, reasons, questions, unused };
}

function draftTable({ table, fields: named, role, beside }: TableDraft, source: FoundSource, path: string, joint: Joint | null): { table: TableMapping; reasons: Reason[]; questions: OpenQuestion[] } {
  const fields: Record<string, FieldSource> = {}, reasons: Reason[] = [], questions: OpenQuestion[] = [];
  for (const field of fieldsOf(table)) {
    const from = named.find((each) => each.field === field.name), at = `${path}.fields.${field.name}`;
    const draft = from === undefined ? null : draftField(field, from.column, source, { path: at, byName: from.byName, joint });
    if (draft !== null) {
      fields[field.name] = draft.source;
      reasons.push({ path: at, confidence: draft.confidence, why: draft.why });
      questions.push(...draft.questions);
    } else if (field.name === 'role' && role !== null) {
      fields['role'] = { constant: role };
      reasons.push({ path: at, confidence: 'likely', why: 'The names of the columns say which component it is.' });
    } else if (field.name === 'joint' && (table === 'procedures' || table === 'revisions')) {
      questions.push({ path: at, about: 'joint', text: `Which joint do the ${table === 'procedures' ? 'procedures' : 're-operations'} of ${source.file} concern? No column says it.`, options: codeLists.joint.map(({ code, label }) => ({ value: code, label })) });
    } else if (field.name === 'kind' && table === 'revisions') {
      questions.push({ path: at, about: 'kind', text: `Were components changed in all re-operations of ${source.file}? No column says it.`, options: codeLists.reoperation_kind.map(({ code, label }) => ({ value: code, label })) });
    }
  }
  const key = { components: ['model_code', 'design_class'], revisions: ['revision_date'], deaths: ['death_date'], procedures: [], models: [], followups: [] }[table]
    .map((name) => fields[name]).find((from) => from !== undefined && 'column' in from);
  return { table: { table, when: beside && key !== undefined && 'column' in key ? key.column : null, unless: [], fields }, reasons, questions };
}

/** Files with the same columns and layout, which go on from one another: one a year. */
function grouped(sources: readonly FoundSource[]): FoundSource[][] {
  const groups = new Map<string, FoundSource[]>();
  for (const source of sources) {
    const key = JSON.stringify([source.sheet, source.format, source.layout, source.columns.map(({ name }) => name), source.file.replace(/\d+/g, '#').toLowerCase()]);
    groups.set(key, [...(groups.get(key) ?? []), source]);
  }
  return [...groups.values()];
}

/** The joint of the extract, where some column holds it and holds one only. */
function onlyJoint(sources: readonly FoundSource[]): Joint | null {
  const values = sources.flatMap(({ columns }) => columns.filter(({ name }) => name.toLowerCase() === 'joint').flatMap((column) => column.values?.map(({ value }) => value.toLowerCase()) ?? []));
  const found = [...new Set(values)];
  return found.length === 1 ? joints.find((joint) => joint === found[0]) ?? null : null;
}
