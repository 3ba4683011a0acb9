import { CompareView } from './compare/CompareView';

export default function ComparePage() {
  return <CompareView />;
}
