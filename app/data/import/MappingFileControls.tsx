'use client';
import { useState } from 'react';
import { Button, FileTrigger } from 'react-aria-components';
import { mappingFile, readMapping } from '../../../lib/reports/importing/mappingFile';
import { Problems } from '../../parts/Problems';
import { saveFile } from '../../parts/saveFile';
import type { Importing } from './useImport';

/** Keeps what was said for the next extract, and brings back what was said for the last. */
export function MappingFileControls({ draft, openMapping }: Importing) {
  const [problems, setProblems] = useState<readonly string[]>([]);
  const [opened, setOpened] = useState<string | null>(null);
  const open = async (file: File) => {
    const result = readMapping(await file.text());
    setProblems(result.status === 'refused' ? result.problems : []);
    setOpened(result.status === 'opened' ? file.name : null);
    if (result.status === 'opened') openMapping(result.mapping);
  };
  const save = () => { saveFile('mapping.json', new Blob([mappingFile(draft.mapping)], { type: 'application/json' })); };
  return (
    <div className="mapping-file">
      <p className="choices">
        <FileTrigger acceptedFileTypes={['.json', 'application/json']} onSelect={(files) => { const file = files?.[0]; if (file !== undefined) void open(file); }}>
          <Button className="button">Open a mapping saved before</Button>
        </FileTrigger>
        <Button className="button" isDisabled={draft.mapping.sources.every(({ tables }) => tables.length === 0)} onPress={save}>Save the mapping</Button>
      </p>
      <p className="help">A small file with names of columns, codes and settings, for the next extract. It holds no record; code values that you gave a meaning to are in it.</p>
      <div role="status">{opened !== null && <p>{opened} is in use. What no longer fits the chosen files is listed at the end.</p>}</div>
      {problems.length > 0 && <Problems heading="The mapping was not opened" problems={problems} />}
    </div>
  );
}
