import type { Metadata } from 'next';
import { ScreeningView } from './ScreeningView';

export const metadata: Metadata = { title: 'Screening' };

export default function ScreeningPage() {
  return <ScreeningView />;
}
