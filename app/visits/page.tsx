import type { Metadata } from 'next';
import { Suspense } from 'react';
import { VisitsView } from './VisitsView';

export const metadata: Metadata = { title: 'Before revision' };

export default function VisitsPage() {
  return <Suspense><VisitsView /></Suspense>; // what the address asks is known in the browser only
}
