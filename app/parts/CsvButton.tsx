'use client';
import { toCsv, type Provenance } from '../../lib/reports/csv';
import type { ProtectedTable } from '../../lib/reports/table';
import { useDisclosure } from '../shell/Disclosure';
import { saveFile } from './saveFile';
import { TextButton } from './TextButton';

export function CsvButton({ table, provenance }: { readonly table: ProtectedTable; readonly provenance: Provenance }) {
  const { leave } = useDisclosure();
  const save = (head: Provenance) => { saveFile(`${table.name}.csv`, new Blob([toCsv(table, head)], { type: 'text/csv' })); };
  return (
    <TextButton label={`Download as CSV: ${table.title}`} onPress={() => { leave({ table, provenance, save }); }}>
      Download as CSV
    </TextButton>
  );
}
