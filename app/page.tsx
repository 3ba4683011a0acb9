import { Suspense } from 'react';
import { CompareView } from './compare/CompareView';

export default function ComparePage() {
  return <Suspense><CompareView /></Suspense>; // what the address asks is known in the browser only
}
