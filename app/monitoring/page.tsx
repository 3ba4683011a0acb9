import type { Metadata } from 'next';
import { MonitoringView } from './MonitoringView';

export const metadata: Metadata = { title: 'Over time' };

export default function MonitoringPage() {
  return <MonitoringView />;
}
