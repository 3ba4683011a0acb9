'use client';
import { useMemo } from 'react';
import type { QualityReport } from '../../../lib/reports/quality/qualityReport';
import type { QualityView } from '../../../lib/reports/quality/qualityView';
import { Problems } from '../../parts/Problems';
import { ProgressLine } from '../../parts/ProgressLine';
import { useWorked, type AskWorker } from '../../parts/useWorked';
import { RegistryState } from '../../shell/RegistryState';
import { useUnitsSession } from '../../shell/UnitsSession';
import { DataPages } from '../DataPages';
import { QualityAnswer } from './QualityAnswer';
import './quality.css';

const askWorker: AskWorker<QualityView, QualityReport> = (worker, view, onProgress) => worker.quality(view, onProgress);

/** How far the loaded extract can be trusted, for the person who answers for it. */
export function QualityPage() {
  const { names } = useUnitsSession();
  const view = useMemo((): QualityView => ({ names }), [names]);
  const { report, failed, progress: working } = useWorked(view, askWorker);
  return (
    <>
      <DataPages />
      <h1>Quality</h1>
      <p>What to know of the extract before a curve of it is read: what is recorded, how re-operations found their procedure, what is implausible, who was lost, and what changed since an earlier version.</p>
      <RegistryState />
      {failed !== null && <Problems heading="The quality could not be worked out" problems={[failed]} />}
      {working !== null && <ProgressLine label={working.label} fraction={working.fraction} />}
      {report !== null && <QualityAnswer report={report} pending={working !== null} />}
    </>
  );
}
