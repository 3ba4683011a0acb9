'use client';
import { policyWords } from '../../lib/reports/policyWords';
import { useDisclosure } from './Disclosure';
import './shell.css';

export function Footer() {
  const { policy } = useDisclosure();
  return (
    <footer className="site-footer">
      <p>
        Observational data: an association is not proof of cause. Not a recall notice, not a medical device, and no advice for one patient.
        Local governance, device-reporting duties and the judgement of a licensed surgeon come first.
      </p>
      <p className="on-paper">{policyWords(policy)}</p>
      <p>Data stay in this browser. Nothing is sent to any other machine.</p>
    </footer>
  );
}
