'use client';
import { useState } from 'react';
import { Button, FileTrigger } from 'react-aria-components';
import { readExport } from '../../../lib/review/exportFile';
import { Problems } from '../../parts/Problems';
import { takeIn, type Imported } from '../store/cases';

const entries = (n: number) => (n === 1 ? '1 entry' : `${n.toLocaleString('en-GB')} entries`);

const outcome = ({ isNew, added, lacking }: Imported): string => {
  const older = lacking === 0 ? '' : ` The file is older than what is here by ${entries(lacking)}; they stay.`;
  if (isNew) return `A case is new here, with ${entries(added)}.`;
  return added === 0 ? `Nothing new: every entry of the file is here.${older}` : `${entries(added)} added to a case that was here.${older}`;
};

/** Takes a case file in. What is here stays; a file that is not whole is refused as a whole. */
export function ImportButton() {
  const [done, setDone] = useState<{ readonly problems: readonly string[]; readonly imported: readonly Imported[] } | null>(null);
  const take = async (chosen: FileList | null): Promise<void> => {
    const file = chosen?.[0];
    if (file === undefined) return;
    setDone(null);
    const read = await readExport(await file.text());
    setDone(read.status === 'refused' ? { problems: read.problems, imported: [] } : { problems: [], imported: await takeIn(read.histories) });
  };
  const onSelect = (chosen: FileList | null) => {
    take(chosen).catch((error: unknown) => { setDone({ problems: [error instanceof Error ? error.message : String(error)], imported: [] }); });
  };
  return (
    <>
      <FileTrigger acceptedFileTypes={['.json', 'application/json']} onSelect={onSelect}><Button className="button quiet">Import a case file</Button></FileTrigger>
      {done !== null && done.problems.length > 0 && (
        <Problems heading="The case file was refused" problems={done.problems} after={<p>Nothing was taken from it, and nothing that is here was changed.</p>} />
      )}
      {done !== null && done.imported.length > 0 && <div className="said" role="status">{done.imported.map((one) => <p key={one.id}>{outcome(one)}</p>)}</div>}
    </>
  );
}
