'use client';
import { exportFile } from '../../../lib/review/exportFile';
import type { CaseFile } from '../../../lib/review/fold';
import { saveFile } from '../../parts/saveFile';
import { noteExported } from '../store/cases';
import { ConfirmButton } from '../../parts/ConfirmButton';

/** One or all cases as one file. */
export function ExportButton({ files, label, name }: { readonly files: readonly CaseFile[]; readonly label: string; readonly name: string }) {
  const save = () => {
    const histories = files.map(({ history }) => history);
    void exportFile(histories).then((text) => { saveFile(name, new Blob([text], { type: 'application/json' })); void noteExported(histories); });
  };
  return (
    <ConfirmButton label={label} heading="This file is confidential" confirm="Export the file" onConfirm={save} isDisabled={files.length === 0}>
      <p>It holds identifiers of units and small counts of people, as the committee saw them. Give it only to those who are bound to confidentiality, by a way that your local governance allows.</p>
      <p className="help">Its text must be left as it is: one changed character and it is refused. That the newest entries were left out of it shows only where they are still kept, so note how many entries there are.</p>
    </ConfirmButton>
  );
}
