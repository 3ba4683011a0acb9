'use client';
import { useEffect, useState } from 'react';
import type { Level } from '../../../lib/analysis/levels';
import type { Comparison, Question } from '../../../lib/contract/question';
import { formatCount } from '../../../lib/reports/format';
import { useWorkbench } from '../../shell/WorkbenchProvider';
import { Checks } from '../../parts/fields';

/** Levels of a comparison as the registry has them, with their procedures. */
export function LevelChecks({ label, question, compare, chosen, help, onChange }: {
  readonly label: string; readonly question: Question; readonly compare: Comparison; readonly chosen: readonly string[]; readonly help: string;
  readonly onChange: (chosen: string[]) => void;
}) {
  const { worker, loaded } = useWorkbench();
  const [levels, setLevels] = useState<readonly Level[] | null>(null);
  const asked = JSON.stringify({ ...question, compare });
  useEffect(() => {
    let current = true;
    if (worker !== null && loaded !== null) {
      void worker.levels(JSON.parse(asked) as Question).then((found) => { if (current) setLevels(found); });
    }
    return () => { current = false; };
  }, [worker, loaded, asked]);
  if (levels === null) return <p className="help">Looking up what the registry holds …</p>;
  const missing = chosen.filter((key) => !levels.some((level) => level.key === key)).map((key) => ({ key, label: key, note: '0' }));
  return (
    <Checks
      label={label} chosen={chosen} help={help} onChange={onChange}
      options={[...levels.map(({ key, label: name, procedures }) => ({ key, label: name, note: formatCount(procedures) })), ...missing]}
    />
  );
}
