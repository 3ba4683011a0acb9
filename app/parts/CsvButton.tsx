'use client';
import { toCsv, type Provenance } from '../../lib/reports/csv';
import type { ProtectedTable } from '../../lib/reports/table';
import { saveFile } from './saveFile';
import { TextButton } from './TextButton';

export function CsvButton({ table, provenance }: { readonly table: ProtectedTable; readonly provenance: Provenance }) {
  return (
    <TextButton label={`Download as CSV: ${table.title}`} onPress={() => { saveFile(`${table.name}.csv`, new Blob([toCsv(table, provenance)], { type: 'text/csv' })); }}>
      Download as CSV
    </TextButton>
  );
}
