'use client';
import { useEffect, useState } from 'react';
import { Button } from 'react-aria-components';
import { bringIn } from '../review/store/cases';
import { oldCasesAreThere, readOldCases, removeOldCases } from '../review/store/oldDatabase';
import { failureWords } from './room';
import { isKept } from './things';
import { useKeeping } from './useKeeping';

/** Cases that an earlier version stored as they are: brought in or removed. The old copy goes once they are kept encrypted. */
export function OldCases() {
  const { kept } = useKeeping();
  const [there, setThere] = useState(false);
  const [brought, setBrought] = useState(false);
  const [problem, setProblem] = useState<string | null>(null);
  const isSafe = brought && isKept('cases', kept);
  useEffect(() => { void oldCasesAreThere().then(setThere); }, [kept]);
  useEffect(() => { if (isSafe) void removeOldCases().then(() => { setThere(false); }); }, [isSafe]);
  if (!there) return null;
  const bring = () => { readOldCases().then(bringIn).then(() => { setBrought(true); }, (error: unknown) => { setProblem(failureWords(error)); }); };
  const remove = () => { void removeOldCases().then(() => { setThere(false); }); };
  return (
    <section aria-label="Cases of an earlier version">
      <p>{brought
        ? 'The cases of an earlier version are open for this session. Their unencrypted copy is removed as soon as cases are kept encrypted (page Data), or now.'
        : 'An earlier version of this site left cases of review in this browser, unencrypted.'}</p>
      {problem !== null && <p role="alert">{problem}</p>}
      <p className="actions">
        {!brought && <Button className="button" onPress={bring}>Bring them in</Button>}
        <Button className="button quiet" onPress={remove}>{brought ? 'Remove the unencrypted copy' : 'Remove them'}</Button>
      </p>
    </section>
  );
}
