'use client';
import type { ReactNode } from 'react';
import { stepTitles, type Step } from '../../../lib/reports/importing/openPoints';
import { useWorkbench } from '../../shell/WorkbenchProvider';
import { DataPages } from '../DataPages';
import { CodesStep } from './CodesStep';
import { ColumnsStep } from './ColumnsStep';
import { ExtractStep } from './ExtractStep';
import { FilesStep } from './FilesStep';
import { LoadStep } from './LoadStep';
import { MappingFileControls } from './MappingFileControls';
import { StepList } from './StepList';
import { TablesStep } from './TablesStep';
import { useImport } from './useImport';
import '../data.css';
import './import.css';

/** Files of one's own, step by step made an extract; every step stays in sight and can be gone back to. */
export function ImportView() {
  const importing = useImport();
  const { worker } = useWorkbench();
  const isStarted = importing.draft.sources.length > 0;
  return (
    <div className="data import" data-ready={worker !== null}>
      <DataPages />
      <h1>Bring your own extract</h1>
      <p>Take your files as they are. Here you say which column is which and which code means what; where the files leave it open you are asked, and nothing is guessed in silence.</p>
      <div className="import-columns">
        <StepList open={importing.open} isStarted={isStarted} />
        <div>
          <StepSection step="files">{worker !== null && <FilesStep {...importing} />}</StepSection>
          {!isStarted && worker !== null && <MappingFileControls {...importing} />}
          {isStarted && (
            <>
              <StepSection step="tables"><TablesStep {...importing} /></StepSection>
              <StepSection step="columns"><ColumnsStep {...importing} /></StepSection>
              <StepSection step="codes"><CodesStep {...importing} /></StepSection>
              <StepSection step="extract"><ExtractStep {...importing} /></StepSection>
              <StepSection step="load"><LoadStep {...importing} /><MappingFileControls {...importing} /></StepSection>
            </>
          )}
        </div>
      </div>
    </div>
  );
}

function StepSection({ step, children }: { readonly step: Step; readonly children: ReactNode }) {
  return <section className="step" id={step} aria-labelledby={`${step}-title`}><h2 id={`${step}-title`}>{stepTitles[step]}</h2>{children}</section>;
}
