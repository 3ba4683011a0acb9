'use client';
import Link from 'next/link';
import { DropZone, FileTrigger, Button, Text } from 'react-aria-components';
import { filesOf } from './filesOf';

/** Files, a folder or a zip: chosen or dropped. They are read here and sent nowhere. */
export function ChooseFiles({ onFiles }: { readonly onFiles: (files: readonly File[]) => void }) {
  const take = (chosen: FileList | null) => { if (chosen !== null && chosen.length > 0) onFiles([...chosen]); };
  return (
    <DropZone className="drop" onDrop={({ items }) => { void filesOf(items).then((files) => { if (files.length > 0) onFiles(files); }); }}>
      <Text slot="label">Drop the files of an extract here: its tables as CSV or Parquet, a folder of them, or a zip.</Text>
      <p className="choices">
        <FileTrigger allowsMultiple onSelect={take}><Button className="button">Choose files or a zip</Button></FileTrigger>
        <FileTrigger acceptDirectory onSelect={take}><Button className="button">Choose a folder</Button></FileTrigger>
      </p>
      <p className="help">They are read in this browser and sent nowhere. What each table holds is in the <Link href="/dictionary/" prefetch={false}>dictionary</Link>. The registry that is loaded stays until the new one is in.</p>
    </DropZone>
  );
}
