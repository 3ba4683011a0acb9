import type { Metadata } from 'next';
import { ImportView } from './ImportView';

export const metadata: Metadata = { title: 'Bring your own extract' };

export default function ImportPage() {
  return <ImportView />;
}
