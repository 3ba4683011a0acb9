'use client';
import { ToggleButton, ToggleButtonGroup } from 'react-aria-components';
import type { Entry } from '../../../lib/review/entry';
import { kindLabels, numberOf } from '../../../lib/review/entryWords';
import type { CaseFile } from '../../../lib/review/fold';
import { TextButton } from '../../parts/TextButton';
import { EntryForm } from './EntryForm';
import { writable, type Writable } from './entryFields';
import '../../parts/ViewControls.css';

/** What is being written: a new entry of a kind, or one that puts an earlier one right. */
export interface Writing { readonly kind: Writable; readonly corrects: Entry | null }

export function WritePart({ file, writing: { kind, corrects }, setWriting }: { readonly file: CaseFile; readonly writing: Writing; readonly setWriting: (writing: Writing) => void }) {
  const choose = (key: string | undefined) => { const chosen = writable.find((other) => other === key); if (chosen !== undefined) setWriting({ kind: chosen, corrects: null }); };
  return (
    <section id="write" className="paper-none">
      <h2>Write into the history</h2>
      <p>Nothing is overwritten. What turns out wrong is corrected by a later entry that names it.</p>
      {corrects === null ? (
        <div className="view-controls">
          <ToggleButtonGroup aria-label="What to write" selectionMode="single" disallowEmptySelection selectedKeys={[kind]} onSelectionChange={(keys) => { choose([...keys].map(String)[0]); }}>
            {writable.map((other) => <ToggleButton key={other} id={other}>{kindLabels[other]}</ToggleButton>)}
          </ToggleButtonGroup>
        </div>
      ) : (
        <p>This corrects entry {numberOf(corrects.id, file.history)}, which stays as it is. <TextButton onPress={() => { setWriting({ kind: 'note', corrects: null }); }}>Correct nothing</TextButton></p>
      )}
      <EntryForm
        key={`${kind} ${corrects?.id ?? ''}`} file={file} kind={kind} label={corrects === null ? `Record: ${kindLabels[kind]}` : 'Record the correction'}
        {...(corrects !== null && { corrects: corrects.id })} {...(corrects?.body.kind === 'check' && { step: corrects.body.step })}
        onDone={() => { setWriting({ kind, corrects: null }); }}
      />
    </section>
  );
}
