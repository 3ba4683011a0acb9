'use client';
import { useState } from 'react';
import type { ChosenUnit, UnitsQuestion } from '../../lib/contract/unitsQuestion';
import type { ProtectedTable } from '../../lib/reports/table';
import { DataTable } from '../parts/DataTable';
import { Problems } from '../parts/Problems';
import { TextButton } from '../parts/TextButton';
import { useWorkbench } from '../shell/WorkbenchProvider';

/** The unit's revised procedures, looked up when they are asked for. */
export function OwnCases({ question, unit }: { readonly question: UnitsQuestion; readonly unit: ChosenUnit }) {
  const { worker } = useWorkbench();
  const [table, setTable] = useState<ProtectedTable | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const show = () => {
    worker?.ownCases(question, unit).then(setTable, (error: unknown) => { setProblem(error instanceof Error ? error.message : String(error)); });
  };
  return (
    <div className="own-cases">
      {problem !== null && <Problems heading="The procedures could not be listed" problems={[problem]} />}
      {table === null ? <p><TextButton onPress={show}>Show the unit’s revised procedures</TextButton></p> : <DataTable table={table} captionHidden />}
    </div>
  );
}
