'use client';
import { Button } from 'react-aria-components';
import type { ProtocolSheet } from '../../lib/reports/planning/protocolSheet';
import { Blocks } from '../blocks/Blocks';
import '../review/documents/documents.css';

/** The protocol sheet on the screen as it will be on paper. */
export function PlanSheet({ sheet: { title, facts, parts, signatures }, onBack }: { readonly sheet: ProtocolSheet; readonly onBack: () => void }) {
  return (
    <div className="plan-sheet" data-settled>
      <div className="actions">
        <Button className="button" onPress={onBack}>Back to the plan</Button>
        <Button className="button" onPress={() => { window.print(); }}>Print, or save as PDF</Button>
      </div>
      <article className="sheet answer">
        <h1>{title}</h1>
        <dl className="case-facts">{facts.map(({ label, text }) => <div key={label}><dt>{label}</dt><dd>{text}</dd></div>)}</dl>
        {parts.map(({ heading, blocks }) => (
          <section key={heading}>
            <h2>{heading}</h2>
            <Blocks blocks={blocks} provenance={[{ label: 'Plan', text: title }]} source="A plan: no data" />
          </section>
        ))}
        <div className="signatures">{signatures.map((role) => <p key={role}><span className="line" />{role}, date</p>)}</div>
      </article>
    </div>
  );
}
