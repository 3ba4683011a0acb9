import type { Metadata } from 'next';
import { Suspense } from 'react';
import { UnitView } from './UnitView';

export const metadata: Metadata = { title: 'Our unit' };

export default function UnitPage() {
  return <Suspense><UnitView /></Suspense>; // what the address asks is known in the browser only
}
