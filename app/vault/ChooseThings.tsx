'use client';
import { useState } from 'react';
import { Button, Form } from 'react-aria-components';
import { Checks, type Option } from '../parts/fields';
import { useCases } from '../review/store/useCases';
import { useWorkbench } from '../shell/WorkbenchProvider';
import type { Kept } from './keeping';
import { NewPassphrase, nothingTyped, typedProblem } from './NewPassphrase';
import { sizeWords } from './room';
import { isKept, keepThings, partsOf, things, type Thing } from './things';
import { useKeeping } from './useKeeping';

/** What is to be kept, with the passphrase where nothing is yet. */
export function ChooseThings({ kept }: { readonly kept: Kept }) {
  const { work } = useKeeping();
  const { loaded, given } = useWorkbench();
  const cases = useCases();
  const parts = partsOf(given), isNew = kept.status === 'none', keptExtract = kept.status === 'unlocked' ? kept.extract : null;
  const own = parts === null || loaded === null || loaded.fingerprint === keptExtract?.fingerprint ? null : { loaded, ...parts };
  const mapping = parts?.mapping ?? null;
  const options = optionsOf();
  const [picked, setPicked] = useState<ReadonlySet<Thing> | null>(null); // null: nothing was picked yet
  const chosen = picked ?? new Set(things.filter((thing) => (isNew ? thing === 'extract' || thing === 'cases' : isKept(thing, kept))));
  const ticked = new Set([...chosen].filter((thing) => options.some(({ key }) => key === thing)));
  const [typed, setTyped] = useState(nothingTyped);
  const [problems, setProblems] = useState<{ readonly passphrase: string | null; readonly keeping: string | null }>({ passphrase: null, keeping: null });

  function optionsOf(): readonly Option[] {
    const sizeKept = kept.status !== 'unlocked' ? 0 : [...kept.records].filter(([name]) => name.startsWith('extract')).reduce((sum, [, size]) => sum + size, 0);
    const found = cases?.files.length ?? 0;
    return [
      ...(own !== null ? [{ key: 'extract', label: `The extract that is loaded: ${own.loaded.name}${keptExtract === null ? '' : ` (in place of the one that is kept: ${keptExtract.registry}, version ${keptExtract.version})`}`, note: sizeWords(own.files.reduce((sum, { size }) => sum + size, 0)) }]
        : keptExtract !== null ? [{ key: 'extract', label: `The kept extract: ${keptExtract.registry}, version ${keptExtract.version}`, note: sizeWords(sizeKept) }] : []),
      { key: 'cases', label: 'The cases of review, and whatever is written into them later', note: found === 1 ? '1 case' : `${found} cases` },
      ...(mapping !== null || isKept('mapping', kept) ? [{ key: 'mapping', label: 'The mapping of columns and codes, for the next extract' }] : []),
      { key: 'settings', label: 'The question last asked on each page' },
    ];
  }

  const submit = async (): Promise<void> => {
    const passphrase = isNew ? typedProblem(typed) : null;
    setProblems({ passphrase, keeping: null });
    if (passphrase !== null) return;
    const keeping = await keepThings(ticked, ticked.has('extract') ? own : null, mapping, isNew ? typed.first : null);
    setProblems({ passphrase: null, keeping });
    if (keeping === null) { setTyped(nothingTyped); setPicked(null); }
  };
  return (
    <Form className="choose" onSubmit={(event) => { event.preventDefault(); void submit(); }}>
      <Checks label={isNew ? 'What to keep' : 'What is kept'} options={options} chosen={[...ticked]} onChange={(keys) => { setPicked(new Set(things.filter((thing) => keys.includes(thing)))); }} />
      {parts === null && keptExtract === null && <p className="help">The sample registry comes with the site and need not be kept.</p>}
      {isNew && <NewPassphrase typed={typed} onChange={setTyped} problem={problems.passphrase} />}
      {problems.keeping !== null && <p className="refused" role="alert">{problems.keeping}</p>}
      <p className="actions"><Button className="button" type="submit" isDisabled={work !== null || (isNew && ticked.size === 0)}>{isNew ? 'Encrypt and keep' : 'Keep what is ticked, let go of the rest'}</Button></p>
    </Form>
  );
}
