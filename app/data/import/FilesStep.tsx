'use client';
import { Button, DropZone, FileTrigger, Text } from 'react-aria-components';
import { filesOf } from '../filesOf';
import { Problems } from '../../parts/Problems';
import { TextButton } from '../../parts/TextButton';
import { SourceCard } from './SourceCard';
import { nameOf, type Importing } from './useImport';

/** Which files, and how each is written. */
export function FilesStep({ draft, files, problems, isLooking, addFiles, removeFile, relayout, settle, startAgain }: Importing) {
  const take = (chosen: FileList | null) => { if (chosen !== null && chosen.length > 0) addFiles([...chosen]); };
  return (
    <>
      <DropZone className="drop" onDrop={({ items }) => { void filesOf(items).then((files) => { if (files.length > 0) addFiles(files); }); }}>
        <Text slot="label">Drop the files here as they are: text with commas, semicolons or tabs, workbooks, Parquet or Arrow, one by one, in a folder, packed as gzip or zip.</Text>
        <p className="choices">
          <FileTrigger allowsMultiple onSelect={take}><Button className="button">{draft.sources.length === 0 ? 'Choose files or a zip' : 'Add files or a zip'}</Button></FileTrigger>
          <FileTrigger acceptDirectory onSelect={take}><Button className="button">{draft.sources.length === 0 ? 'Choose a folder' : 'Add a folder'}</Button></FileTrigger>
          {draft.sources.length > 0 && <TextButton onPress={startAgain}>Start again with other files</TextButton>}
        </p>
        <p className="help">They are read in this browser and sent nowhere. Only the first rows are looked at until you load. The registry that is loaded stays until the new one is in.</p>
      </DropZone>
      {files.length > 1 && (
        <ul className="brought" aria-label="Files that were chosen">
          {files.map((file) => <li key={nameOf(file)}>{nameOf(file)} <TextButton label={`Remove ${nameOf(file)}`} onPress={() => { removeFile(file); }}>Remove</TextButton></li>)}
        </ul>
      )}
      <div role="status">{isLooking && <p className="looking">Looking at the first rows …</p>}</div>
      {problems.length > 0 && <Problems heading="Not read" problems={problems} after={<p>The other files, and the registry that is loaded, stay as they are.</p>} />}
      <ul className="sources">
        {draft.sources.map((source) => (
          <li key={`${source.file} ${source.sheet ?? ''}`}>
            <SourceCard source={source} settled={draft.settled} onLayout={(layout) => { relayout(source, layout); }} settle={settle} />
          </li>
        ))}
      </ul>
    </>
  );
}
