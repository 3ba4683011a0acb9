'use client';
import type { Entry } from '../../../lib/review/entry';
import { byWords, entryWords, numberOf } from '../../../lib/review/entryWords';
import type { CaseFile } from '../../../lib/review/fold';
import { TextButton } from '../../parts/TextButton';

const correctable: ReadonlySet<Entry['body']['kind']> = new Set(['check', 'note', 'letterSent', 'reply', 'dissent', 'conflictOfInterest', 'decision', 'nextLook']);

/** Every entry, as one history in order. */
export function HistoryPart({ file: { history, heads, corrected }, onCorrect }: { readonly file: CaseFile; readonly onCorrect: (entry: Entry) => void }) {
  return (
    <section id="history">
      <h2>History</h2>
      {heads.length > 1 && <p className="soft">It ends in {heads.length} branches that were written apart; the next entry joins them.</p>}
      <ol className="history">
        {history.map((entry) => {
          const { headline, words } = entryWords(entry, history), by = corrected.get(entry.id);
          return (
            <li key={entry.id} data-kind={entry.body.kind} className={by === undefined ? undefined : 'corrected'}>
              <p>
                <strong>{headline}</strong> <span className="soft">{byWords(entry)} · {entry.id.slice(0, 8)}</span>
                {by === undefined && correctable.has(entry.body.kind) && (
                  <span className="paper-none"> <TextButton label={`Correct entry ${numberOf(entry.id, history)}`} onPress={() => { onCorrect(entry); }}>Correct</TextButton></span>
                )}
              </p>
              {words.map((text) => <p key={text} className="written">{text}</p>)}
              {entry.corrects !== null && <p className="soft">Corrects entry {numberOf(entry.corrects, history)}.</p>}
              {by !== undefined && <p className="soft">Corrected by entry {numberOf(by, history)}.</p>}
            </li>
          );
        })}
      </ol>
    </section>
  );
}
