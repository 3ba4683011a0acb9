import type { Metadata } from 'next';
import { PlanView } from './PlanView';

export const metadata: Metadata = { title: 'Plan' };

export default function PlanPage() {
  return <PlanView />;
}
