import type { Metadata } from 'next';
import { UnitView } from './UnitView';

export const metadata: Metadata = { title: 'Our unit' };

export default function UnitPage() {
  return <UnitView />;
}
