import type { Metadata } from 'next';
import { Suspense } from 'react';
import { MonitoringView } from './MonitoringView';

export const metadata: Metadata = { title: 'Over time' };

export default function MonitoringPage() {
  return <Suspense><MonitoringView /></Suspense>; // what the address asks is known in the browser only
}
