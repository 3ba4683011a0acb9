import type { Metadata } from 'next';
import { Suspense } from 'react';
import { ScreeningView } from './ScreeningView';

export const metadata: Metadata = { title: 'Screening' };

export default function ScreeningPage() {
  return <Suspense><ScreeningView /></Suspense>; // what the address asks is known in the browser only
}
