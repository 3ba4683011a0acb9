'use client';
import { formatList } from '../../lib/reports/format';
import { TextButton } from './TextButton';

/** What the question asks for and the extract nowhere records, with a way to ask without it. Nothing where there is no such thing. */
export function Unrecorded({ missing, onWithout }: { readonly missing: readonly string[]; readonly onWithout: () => void }) {
  if (missing.length === 0) return null;
  return (
    <p className="caution" data-unrecorded="">
      The question asks for what this extract does not record: {formatList([...missing])}. Nothing can be chosen, compared or adjusted by it.{' '}
      <TextButton onPress={onWithout}>Ask without it</TextButton>
    </p>
  );
}
