import type { VersionChanges } from '../../quality/versions/compareVersions';
import type { MovedNumbers } from '../../quality/versions/movedNumbers';
import type { UnitInVersions } from '../../screening/units/versionFlags';
import { heading, paragraph, type Block } from '../blocks';
import type { Provenance } from '../csv';
import { formatCount, formatRatio } from '../format';
import { finished, type Words } from '../phrases';
import { sourceEntry, sourceLine } from '../provenance';
import { questionSentence } from '../questionWords';
import type { QualityView } from './qualityView';
import { fieldsTable, flagsTable, linesTable, movedTable, movesTable, recordsTable } from './versionTables';

/** Everything that is known of two versions of one extract. */
export interface Versions {
  readonly changes: VersionChanges;
  readonly moved: MovedNumbers;
  readonly hospitals: readonly UnitInVersions[];
}

export interface VersionsReport {
  readonly status: 'ok';
  readonly older: string; // where the older one comes from
  readonly source: string;
  readonly provenance: Provenance;
  readonly blocks: readonly Block[];
  readonly differences: number; // rows to take away
}

function changeWords({ procedures, reoperations, older, newer }: VersionChanges): readonly Words[] {
  const relinked = reoperations.fields.find(({ name }) => name === 'procedure_id')?.changed ?? 0;
  const none = [procedures, reoperations].every(({ added, removed, changed }) => added + removed + changed === 0);
  return [
    ...(older.fingerprint === newer.fingerprint ? [{ text: 'Both versions are the same files.', basis: [] }] : []),
    ...(older.registry === newer.registry ? [] : [{ text: 'The two extracts bear different names of a registry: are they versions of one extract?', basis: [] }]),
    ...(older.closingDate > newer.closingDate ? [{ text: 'The one taken for the older closes later than the loaded one.', basis: [] }] : []),
    ...(procedures.newer > 0 && procedures.added === procedures.newer ? [{ text: 'No key of a procedure is in both: keys may have been made anew, and nothing can be compared record by record.', basis: [] }] : []),
    ...(none ? [{ text: 'Procedures and re-operations are the same in both.', basis: [] }] : [
      { text: `Procedures: ${formatCount(procedures.added)} are new, ${formatCount(procedures.removed)} are gone, ${formatCount(procedures.changed)} changed.`, basis: [procedures.added, procedures.removed, procedures.changed] },
      { text: `Re-operations: ${formatCount(reoperations.added)} are new, ${formatCount(reoperations.removed)} are gone, ${formatCount(reoperations.changed)} changed, ${formatCount(relinked)} of them linked to another procedure.`, basis: [reoperations.added, reoperations.removed, reoperations.changed, relinked] },
    ]),
  ];
}

function movedWords({ rows, older, newer }: MovedNumbers): readonly Words[] {
  if (older === null || newer === null) return [{ text: 'In one of the versions no procedure meets the conditions of the question.', basis: [] }];
  const most = (what: 'percent' | 'ratio') => rows.filter((row) => row.what === what && row.moved !== 0 && !Number.isNaN(row.moved)).toSorted((a, b) => Math.abs(b.moved) - Math.abs(a.moved))[0];
  const percent = most('percent'), ratio = most('ratio');
  if (percent === undefined && ratio === undefined) return [{ text: 'None of its numbers moved.', basis: [] }];
  return [
    ...(percent === undefined ? [] : [{ text: `The percent revised that moved most moved by ${formatRatio(Math.abs(percent.moved))} percentage points.`, basis: [percent.older.events, percent.newer.events, Math.abs(percent.newer.events - percent.older.events)] }]),
    ...(ratio === undefined ? [] : [{ text: `The hazard ratio that moved most moved by ${formatRatio(Math.abs(ratio.moved))}.`, basis: [ratio.older.events, ratio.newer.events, Math.abs(ratio.newer.events - ratio.older.events)] }]),
  ];
}

export function versionsReport({ changes, moved, hospitals }: Versions, { names }: QualityView): VersionsReport {
  const { older, newer } = changes, codes = movesTable(changes), lines = linesTable(changes), fields = fieldsTable(changes);
  const changed = hospitals.filter((unit) => unit.changed).length;
  const label = (key: string): string => moved.analysis?.groups.find((group) => group.key === key)?.label ?? key;
  return {
    status: 'ok', older: sourceLine(older), source: sourceLine(newer),
    provenance: [sourceEntry(newer), { label: 'Older version', text: sourceEntry(older).text }, { label: 'Question', text: questionSentence(moved.question, label) }],
    differences: changes.procedures.differences.length + changes.reoperations.differences.length,
    blocks: [
      ...paragraph(finished(changeWords(changes))),
      { kind: 'table', table: recordsTable(changes), folded: false },
      ...(fields.rows.length === 0 ? [] : [{ kind: 'table' as const, table: fields, folded: false }]),
      ...(codes === null ? [] : [{ kind: 'table' as const, table: codes, folded: false }]),
      ...(lines === null ? [] : [{ kind: 'table' as const, table: lines, folded: true }]),
      heading('Which published numbers move'),
      ...paragraph([{ text: questionSentence(moved.question, label), staysInside: false }, ...finished(movedWords(moved))]),
      { kind: 'table', table: movedTable(moved), folded: false },
      heading('Hospitals'),
      ...paragraph(finished([{
        text: changed === 0 ? `None of ${formatCount(hospitals.length)} hospitals is classed otherwise by the rule.` : `${formatCount(changed)} of ${formatCount(hospitals.length)} hospitals ${changed === 1 ? 'is' : 'are'} classed otherwise by the rule.`, basis: [],
      }])),
      ...(changed === 0 ? [] : [{ kind: 'table' as const, table: flagsTable(hospitals, names, 'changed'), folded: false }]),
      ...(hospitals.length === 0 ? [] : [{ kind: 'table' as const, table: flagsTable(hospitals, names, 'all'), folded: true }]),
    ],
  };
}
