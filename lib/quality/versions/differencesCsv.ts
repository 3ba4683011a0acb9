import { csvLine } from '../../contract/csvText';
import type { VersionChanges } from './compareVersions';

/** The differences of procedures and re-operations, one a row, as CSV: what and where, in each version's own files; no identifier and no value. */
export function differencesCsv({ procedures, reoperations }: VersionChanges): readonly string[] {
  const rows = [['procedures', procedures], ['re-operations', reoperations]] as const;
  return [
    csvLine(['records', 'what', 'field', 'older_file', 'older_line', 'newer_file', 'newer_line']),
    ...rows.flatMap(([records, { differences }]) => differences.map(({ what, field, older, newer }) =>
      csvLine([records, what, field, older?.file ?? null, older?.line ?? null, newer?.file ?? null, newer?.line ?? null]))),
  ];
}
