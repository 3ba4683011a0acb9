'use client';
import { useState } from 'react';
import { Button, Dialog, Heading, Modal, ModalOverlay } from 'react-aria-components';
import type { LittleDifference } from '../../lib/disclosure/differencing';
import type { Policy } from '../../lib/disclosure/policy';
import { policyWords } from '../../lib/reports/policyWords';
import { WordsField } from '../parts/WordsField';
import '../parts/dialog.css';

interface Props {
  readonly title: string;
  readonly differences: readonly LittleDifference[];
  readonly earlierPolicy: Policy | null;
  readonly onClose: () => void;
  readonly onRelease: (reason: string) => void;
}

const mostShown = 6;

/** Says why a file is held back and what can be done; lets it go for a reason that stands in it. */
export function HeldBack({ title, differences, earlierPolicy, onClose, onRelease }: Props) {
  const [reason, setReason] = useState(''), [problem, setProblem] = useState<string | null>(null);
  const release = () => {
    if (reason.trim() === '') setProblem('Say why it may leave all the same.');
    else onRelease(reason.trim());
  };
  return (
    <ModalOverlay className="dialog-ground" isOpen onOpenChange={(open) => { if (!open) onClose(); }} isDismissable>
      <Modal className="dialog-sheet">
        <Dialog role="alertdialog">
          <Heading slot="title">{differences.length > 0 ? 'Held back: beside an earlier file it tells of few people' : 'Held back: protected by an earlier setting'}</Heading>
          {earlierPolicy !== null && <p>“{title}” was worked out before “What may leave” was set as it is now: {policyWords(earlierPolicy)} If the page is still working, wait until it is done; what is frozen in a case stays as it was.</p>}
          {differences.length > 0 && <Differences title={title} differences={differences} />}
          <WordsField label="It may leave all the same, because" value={reason} onChange={setReason} problem={problem} />
          <p className="help">The reason will stand in the file.</p>
          <p className="actions">
            <Button className="button quiet" onPress={onClose}>Keep it here</Button>
            <Button className="button" onPress={release}>Let it leave</Button>
          </p>
        </Dialog>
      </Modal>
    </ModalOverlay>
  );
}

function Differences({ title, differences }: Pick<Props, 'title' | 'differences'>) {
  const where = [...new Set(differences.flatMap((difference) => difference.where))];
  return (
    <>
      <p>“{title}” has left this page before, for another question. Whoever has both files can subtract them, and {where.length === 1 ? 'this count differs' : `these ${where.length} counts differ`} by few people:</p>
      <ul className="held">{where.slice(0, mostShown).map((one) => <li key={one}>{one}</li>)}{where.length > mostShown && <li>and {where.length - mostShown} more</li>}</ul>
      <p className="help">Better: let one of the two leave and not both, ask about groups that differ by more people, or have counts rounded (“What may leave”, above). What left is remembered until this site is closed or loaded again, and nowhere else; files of earlier days are not known here.</p>
    </>
  );
}
