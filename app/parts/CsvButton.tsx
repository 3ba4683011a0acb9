'use client';
import { toCsv, type Provenance } from '../../lib/reports/csv';
import type { ProtectedTable } from '../../lib/reports/table';
import { useDisclosure } from '../shell/Disclosure';
import { saveFile } from './saveFile';
import { TextButton } from './TextButton';

interface Props {
  readonly title: string;
  readonly table: ProtectedTable | null; // null: not there yet
  readonly provenance: Provenance;
}

export function CsvButton({ title, table, provenance }: Props) {
  const { leave } = useDisclosure();
  const save = () => {
    if (table !== null) leave({ table, provenance, save: (head) => { saveFile(`${table.name}.csv`, new Blob([toCsv(table, head)], { type: 'text/csv' })); } });
  };
  return <TextButton label={`Download as CSV: ${title}`} isDisabled={table === null} onPress={save}>Download as CSV</TextButton>;
}
