'use client';
import { useState } from 'react';
import { Button } from 'react-aria-components';
import { byWords, entryWords, numberOf } from '../../../lib/review/entryWords';
import type { CaseFile } from '../../../lib/review/fold';
import { topicWords } from '../../../lib/review/rules';
import { Choice } from '../../parts/fields';
import { RoleField, useRole } from '../parts/RoleField';
import { WordsField } from '../../parts/WordsField';
import { useRecord } from './useRecord';

/** What two histories say against each other, side by side, until somebody says which stands and why. */
export function ConflictPart({ file }: { readonly file: CaseFile }) {
  const [chosen, setChosen] = useState<Readonly<Record<string, string>>>({});
  const [why, setWhy] = useState('');
  const [role, setRole] = useRole();
  const { write, problem, busy, setProblem } = useRecord(file.id);
  const { conflicts, history } = file;
  const settle = () => {
    const open = conflicts.find(({ topic }) => chosen[topic] === undefined);
    if (open !== undefined) { setProblem(`Choose what stands on the ${topicWords[open.topic]}.`); return; }
    void write([{ kind: 'merged', settles: conflicts.map(({ topic }) => ({ topic, stands: chosen[topic], why: why.trim() })) }], role);
  };
  return (
    <section id="conflict" className="conflict">
      <h2>Two histories to settle</h2>
      <p>They were written apart from each other and say different things. Both are kept; until one of them stands, nothing else can be recorded.</p>
      {conflicts.map(({ topic, between }) => (
        <div key={topic} data-conflict={topic}>
          <div className="sides">
            {between.map((entry) => {
              const { headline, words } = entryWords(entry, history);
              return <div key={entry.id} className="side"><p><strong>{headline}</strong></p>{words.map((text) => <p key={text}>{text}</p>)}<p className="soft">Entry {numberOf(entry.id, history)}, {byWords(entry)}</p></div>;
            })}
          </div>
          <Choice
            label={`What stands on the ${topicWords[topic]}`} chosen={chosen[topic] ?? ''} onChange={(id) => { setChosen((before) => ({ ...before, [topic]: id })); }}
            options={between.map((entry) => ({ key: entry.id, label: `Entry ${numberOf(entry.id, history)}: ${entryWords(entry, history).headline}` }))}
          />
        </div>
      ))}
      <div className="entry-form">
        <WordsField long label="Why it stands" value={why} onChange={setWhy} />
        <RoleField role={role} setRole={setRole} problem={null} />
        {problem !== null && <p className="refused" role="alert">{problem}</p>}
        <p className="actions"><Button className="button" onPress={settle} isDisabled={busy}>Settle the two histories</Button></p>
      </div>
    </section>
  );
}
