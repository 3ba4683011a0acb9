import type { Metadata } from 'next';
import { Suspense } from 'react';
import { ReviewView } from './ReviewView';

export const metadata: Metadata = { title: 'Review' };

export default function ReviewPage() {
  return <Suspense><ReviewView /></Suspense>; // what the address asks is known in the browser only
}
