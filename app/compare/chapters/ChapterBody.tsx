'use client';
import { memo } from 'react';
import { ProgressLine } from '../../parts/ProgressLine';
import { Problems } from '../../parts/Problems';
import { Blocks } from '../../blocks/Blocks';
import type { Arriving } from './useChapters';
import './chapters.css';

/** A chapter once it has arrived; until then how far it is. Those before it are not drawn again when another one arrives. */
export const ChapterBody = memo(function ChapterBody({ chapter, source }: { readonly chapter: Arriving | undefined; readonly source: string }) {
  if (chapter === undefined || chapter.status === 'waiting') return <p className="soft chapter-waits">Follows after the parts above.</p>;
  if (chapter.status === 'working') return <ProgressLine label={chapter.progress.label} fraction={chapter.progress.fraction} />;
  if (chapter.status === 'failed') return <Problems heading="This part could not be worked out" problems={[chapter.problem]} />;
  const { report: { name, blocks, basis, methods, notes, provenance } } = chapter;
  return (
    <div className="chapter" data-chapter={name}>
      <Blocks blocks={blocks} provenance={provenance} source={source} />
      {notes.map((note) => <p key={note} className="soft">{note}</p>)}
      <details className="methods">
        <summary>How these numbers were made</summary>
        <p>{basis}. {source}.</p>
        <ul>{methods.map((method) => <li key={method}>{method}.</li>)}</ul>
      </details>
    </div>
  );
});
