'use client';
import type { ReactNode } from 'react';
import { Button, Disclosure, DisclosurePanel, Heading } from 'react-aria-components';
import './question.css';

/** What seldom changes of a question, folded. */
export function MoreSettings({ endEdit, children }: { readonly endEdit: () => void; readonly children: ReactNode }) {
  return (
    <Disclosure className="settings" onExpandedChange={endEdit}>
      <Heading level={2}><Button slot="trigger" className="toggle">More settings</Button></Heading>
      <DisclosurePanel><div className="grid">{children}</div></DisclosurePanel>
    </Disclosure>
  );
}
