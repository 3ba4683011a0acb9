import { tables } from '../contract/tables';
import type { Recorded } from '../contract/recorded';
import type { LoadReport, Problem, RuleCount } from '../contract/loadReport';
import type { KnownData } from '../planning/frozenPlan';
import type { Source } from '../engine/loadedExtract';
import { formatCount, formatDate } from './format';
import { sourceLine } from './provenance';
import { protectSmallCounts } from './smallCounts';
import { text, type Cell, type ProtectedTable, type ReportTable } from './table';

/** What was loaded and what became of every record, ready to be shown. Holds counts of records, no identifiers. */
export interface LoadedReport {
  readonly status: 'loaded';
  readonly name: string;
  readonly version: string;
  readonly source: string;
  readonly fingerprint: string; // SHA-256 of the files
  readonly known: KnownData; // what a frozen plan says of the data that were loaded
  readonly facts: readonly { readonly label: string; readonly text: string }[];
  readonly records: ReportTable;
  readonly rules: ReportTable;
  readonly revisions: ReportTable;
  readonly withoutRecord: ProtectedTable | null; // null: every row that was read holds a record of each of its tables
  readonly notes: readonly string[];
  readonly anySetAside: boolean;
  readonly recorded: Recorded;
}

export interface RefusedReport {
  readonly status: 'refused';
  readonly problems: readonly string[];
  /** Refused only because the memory will probably not be enough: it can be tried all the same. */
  readonly canBeTried: boolean;
}

const number = (value: number): Cell => ({ text: formatCount(value), value, basis: [value] });
const column = (label: string, numeric = false) => ({ label, numeric });

const recordsTable = ({ tables: reports }: LoadReport): ReportTable => ({
  name: 'records',
  title: 'Every record accounted for',
  method: 'Read = kept + set aside. A value set aside leaves its record in, with that field not recorded.',
  columns: [column('Table'), column('File'), column('Read', true), column('Kept', true), column('Set aside', true), column('Values set aside', true), column('Columns not used')],
  rows: reports.map((t) => ({
    cells: [
      text(tables[t.table].title), text(t.file ?? 'no file'), number(t.read), number(t.kept), number(t.setAside), number(t.valuesSetAside),
      text(t.ignoredColumns.join(', ')),
    ],
  })),
  relations: reports.map((_, row) => ({ whole: [row, 2], parts: [[row, 3], [row, 4]] })),
});

const withoutRecordTable = ({ tables: reports }: LoadReport): ProtectedTable | null => {
  const rows = reports.flatMap((t) => t.withoutRecord.map((each) => ({
    cells: [text(tables[t.table].title), text(each.file), text(each.column), number(each.rows), number(each.of), number(each.contradicting)],
  })));
  return rows.length === 0 ? null : protectSmallCounts({
    name: 'rows-without-a-record',
    title: 'Rows that hold no record of a table',
    method: 'The column of the mapping that tells is empty in them, or says that there is none. Contradicting: other columns of such a record are not empty.',
    columns: [column('Table'), column('File'), column('Column that tells'), column('Rows without', true), column('Of', true), column('Contradicting', true)],
    rows,
  });
};

const examplesOf = ({ examples }: RuleCount, countedIn: string, files: boolean): string =>
  examples.map(({ file, line, value }) => `${files && file !== null ? `${file}, ` : ''}${countedIn} ${line}${value === null ? '' : `: ${value === '' ? '(empty)' : value}`}`).join('; ');

/** Where a table comes from several files, a line alone does not say where. */
const severalFiles = ({ table, examples }: RuleCount, reports: LoadReport['tables']): boolean =>
  examples.some(({ file }) => file !== reports.find((t) => t.table === table)?.file);

const rulesTable = ({ rules, tables: reports }: LoadReport): ReportTable => ({
  name: 'rules-that-failed',
  title: 'What was set aside, and by which rule',
  method: 'Nothing is repaired. Values that could point to a person are not shown; their line is.',
  columns: [column('Table'), column('Field'), column('Finding'), column('Set aside'), column('Count', true), column('First examples')],
  rows: rules.map((rule) => ({
    cells: [
      text(tables[rule.table].title), text(rule.field), text(rule.title), text(rule.scope === 'record' ? 'the record' : 'the value'), number(rule.count),
      { text: examplesOf(rule, reports.find((t) => t.table === rule.table)?.countedIn === 'rows' ? 'row' : 'line', severalFiles(rule, reports)), outside: 'on the page only' },
    ],
  })),
});

const revisionsTable = ({ revisions }: LoadReport): ReportTable => ({
  name: 're-operations',
  title: 'What became of the re-operations',
  method: 'The first revision of a procedure is its end point. The others are kept and counted here.',
  columns: [column('Re-operations'), column('Count', true)],
  rows: ([
    ['First revision of its procedure', revisions.firstRevisions],
    ['A later revision of the same procedure', revisions.reRevisions],
    ['No component changed: not a revision', revisions.reoperations],
    ['After the end of follow-up', revisions.afterFollowUp],
    ['Linked by the procedure they name', revisions.linkedById],
    ['Linked by patient, joint and side', revisions.linkedByPatientJointSide],
  ] as const).map(([label, value]) => ({ cells: [text(label), number(value)] })),
});

export const loadedReport = (source: Source, report: LoadReport): LoadedReport => ({
  status: 'loaded',
  name: source.registry,
  version: source.version,
  source: sourceLine(source),
  fingerprint: source.fingerprint,
  known: { registry: source.registry, version: source.version, closingDate: source.closingDate, fingerprint: source.fingerprint },
  facts: [
    { label: 'Version', text: source.version },
    { label: 'Data collected from', text: formatDate(source.opened) },
    { label: 'Follow-up complete to', text: formatDate(source.closingDate) },
    { label: 'Fingerprint of the files (SHA-256)', text: source.fingerprint },
  ],
  records: protectSmallCounts(recordsTable(report)),
  rules: protectSmallCounts(rulesTable(report)),
  revisions: protectSmallCounts(revisionsTable(report)),
  withoutRecord: withoutRecordTable(report),
  notes: [...report.notes, ...(report.ignoredFiles.length > 0 ? [`Not part of an extract and not read: ${report.ignoredFiles.join(', ')}.`] : [])],
  anySetAside: report.rules.length > 0,
  recorded: report.recorded,
});

export const refusedReport = (problems: readonly Problem[]): RefusedReport => ({
  status: 'refused', problems: problems.map(({ message }) => message), canBeTried: problems.some(({ rule }) => rule === 'memory_forecast'),
});
