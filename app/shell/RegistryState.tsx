'use client';
import { Problems } from '../parts/Problems';
import { ProgressLine } from '../parts/ProgressLine';
import { TextButton } from '../parts/TextButton';
import { useWorkbench } from './WorkbenchProvider';

/** What is being loaded; where nothing is and no registry is there, why. */
export function RegistryState() {
  const { loaded, progress, problems, canBeTried, cancel, again } = useWorkbench();
  if (progress !== null) return <ProgressLine {...progress} onCancel={cancel} />;
  if (loaded !== null || problems.length === 0) return null;
  return <Problems heading="No registry is loaded" problems={problems} after={<p><TextButton onPress={again}>{canBeTried ? 'Try all the same' : 'Load again'}</TextButton></p>} />;
}
