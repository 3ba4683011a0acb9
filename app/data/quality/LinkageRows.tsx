'use client';
import { useEffect, useState } from 'react';
import { formatCount } from '../../../lib/reports/format';
import type { ReportTable } from '../../../lib/reports/table';
import { ConfirmButton } from '../../parts/ConfirmButton';
import { DataTable } from '../../parts/DataTable';
import { saveFile } from '../../parts/saveFile';
import { TextButton } from '../../parts/TextButton';
import { useWorkbench } from '../../shell/WorkbenchProvider';

const rowsAtOnce = 20;

/** The re-operations of the files in their order, some at a time, and all of them to take away. */
export function LinkageRows({ all }: { readonly all: number }) {
  const { worker, loaded } = useWorkbench();
  const [from, setFrom] = useState(0);
  const [shown, setShown] = useState<{ readonly of: unknown; readonly from: number; readonly table: ReportTable } | null>(null);
  useEffect(() => {
    let current = true;
    void worker?.linkageRows(from, rowsAtOnce).then((table) => { if (current) setShown({ of: loaded, from, table }); });
    return () => { current = false; };
  }, [worker, loaded, from]);
  const save = () => { void worker?.linkageCsv().then((file) => { saveFile('linkage.csv', file); }); };
  if (all === 0) return <p>The files hold no re-operation.</p>;
  const last = Math.min(from + rowsAtOnce, all);
  return (
    <div className="linkage-rows" aria-busy={shown?.from !== from}>
      <p>Where it stands, how it came to its primary, and what it counts as, with the reason. The list holds no identifier and no date: lines lead to the records in your own files.</p>
      {shown !== null && shown.of === loaded && <DataTable table={shown.table} captionHidden />}
      <p className="pages">
        <span role="status">{formatCount(from + 1)}–{formatCount(last)} of {formatCount(all)}</span>
        <TextButton isDisabled={from === 0} onPress={() => { setFrom(Math.max(0, from - rowsAtOnce)); }}>Earlier rows</TextButton>
        <TextButton isDisabled={last === all} onPress={() => { setFrom(from + rowsAtOnce); }}>Later rows</TextButton>
      </p>
      <ConfirmButton label="Download all rows as CSV" heading="This file goes record by record" confirm="Download it" onConfirm={save}>
        <p>It holds no identifier and no date, but the lines of your own files: whoever has these finds the patients. Give it only to those who may see them.</p>
      </ConfirmButton>
    </div>
  );
}
