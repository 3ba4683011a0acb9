import { tables } from '../../contract/tables';
import type { Completeness, FieldCompleteness } from '../../quality/completeness/completeness';
import { percentOf, type Share } from '../../quality/share';
import { heading, paragraph, type Block } from '../blocks';
import { formatPercent } from '../format';
import { finished } from '../phrases';
import { protectSmallCounts } from '../smallCounts';
import { text, type Cell, type ProtectedTable } from '../table';
import { count, derived, number, words } from '../tableCells';
import { hospitalCell } from './placeCells';
import type { QualityView } from './qualityView';

const method = 'Percent of the kept records in which the field is recorded; a value that was set aside counts as not recorded. The darker, the more is missing. Fields that are recorded throughout are left out.';

/** The share recorded; what is not recorded gives few people away as well as what is. */
const shareCell = (share: Share): Cell => (share.of === 0
  ? text('–')
  : { ...derived(percentOf(share), formatPercent, [share.count, share.of - share.count]), shade: 1 - share.count / share.of });

const isAbsent = ({ recorded, records }: FieldCompleteness): boolean => recorded === 0 && records > 0;

export function fieldsTable({ fields }: Completeness): ProtectedTable {
  return protectSmallCounts({
    name: 'completeness-by-field', title: 'How much of each field is recorded',
    method: 'Of the records that were kept. Recorded, set aside and empty add up to the records: a value set aside broke a rule, an empty cell held nothing. Fields that every record must have are not listed.',
    columns: [words('Field'), words('Table'), number('Records'), number('Recorded'), number('Recorded, %'), number('Values set aside'), number('Empty')],
    rows: fields.filter(({ records }) => records > 0).map((field) => {
      const { label, table, records, recorded, setAside, empty } = field, share = { count: recorded, of: records };
      return { block: table, cells: [text(label), text(tables[table].title), count(records), count(recorded), shareCell(share), count(setAside), count(empty)] };
    }),
  });
}

export function byYearTable({ fields, years }: Completeness): ProtectedTable {
  return protectSmallCounts({
    name: 'completeness-by-year', title: 'Share recorded by year, %',
    method: `${method} Years of surgery; for re-operations the year they were done in.`,
    columns: [words('Field'), ...years.map((year) => number(String(year)))],
    rows: fields.filter(({ byYear, records, recorded }) => byYear.length > 0 && recorded < records).map(({ table, label, byYear }) => ({ block: table, cells: [text(label), ...byYear.map(shareCell)] })),
  });
}

export function byHospitalTable({ fields, hospitals }: Completeness, { names }: QualityView): ProtectedTable {
  const shown = fields.filter(({ byHospital, recorded, records }) => byHospital.length > 0 && recorded > 0 && recorded < records);
  return protectSmallCounts({
    name: 'completeness-by-hospital', title: 'Share recorded by hospital, %',
    method: `${method} In the order of the hospitals’ identifiers; a re-operation counts for the hospital of its primary.`,
    columns: [words('Hospital'), ...shown.map(({ label }) => number(label))],
    rows: hospitals.map((id, h) => ({ cells: [hospitalCell(id, h, names), ...shown.map(({ byHospital }) => shareCell(byHospital[h]!))] })),
  });
}

function setAsideTable({ setAside, hospitals, years }: Completeness, { names }: QualityView): ProtectedTable {
  return protectSmallCounts({
    name: 'values-set-aside', title: 'Values set aside, by field, hospital and year',
    method: 'In procedures and re-operations that were kept. What broke which rule, line by line, can be taken away on the page “Loaded”.',
    columns: [words('Field'), words('Table'), words('Hospital'), words('Year'), number('Values')],
    rows: setAside.map(({ label, table, hospital, year, count: n }) => ({
      cells: [text(label), text(tables[table].title), hospitalCell(hospitals[hospital] ?? null, hospital, names), text(String(years[year] ?? '')), count(n)],
    })),
  });
}

export function completenessBlocks(completeness: Completeness, view: QualityView): readonly Block[] {
  const absent = completeness.fields.filter(isAbsent), empty = [...new Set(completeness.fields.filter(({ records }) => records === 0).map(({ table }) => tables[table].title.toLowerCase()))];
  return [
    { kind: 'table', table: fieldsTable(completeness), folded: false },
    ...(absent.length + empty.length === 0 ? [] : [
      heading('Not there at all'),
      ...empty.flatMap((title) => paragraph(finished([{ text: `No record of the table ${title} was kept.`, basis: [] }]))),
      ...absent.flatMap(({ label, table, without }) => paragraph(finished([{ text: `${label} (${tables[table].title.toLowerCase()}). ${without ?? 'Nothing else depends on it.'}`, basis: [] }]))),
    ]),
    { kind: 'table', table: byYearTable(completeness), folded: false },
    { kind: 'table', table: byHospitalTable(completeness, view), folded: false },
    ...(completeness.setAside.length === 0 ? [] : [{ kind: 'table' as const, table: setAsideTable(completeness, view), folded: true }]),
  ];
}
