import { ProgressBar } from 'react-aria-components';
import './ProgressLine.css';

/** What is being done and how far it is. Shows only once the wait is longer than half a second. */
export function ProgressLine({ label, fraction }: { readonly label: string; readonly fraction?: number }) {
  return (
    <div className="progress-line" role="status">
      {fraction === undefined ? <p>{label} …</p> : (
        <ProgressBar value={fraction} maxValue={1} aria-label={label}>
          <p>{label} …</p>
          <progress value={fraction} aria-hidden />
        </ProgressBar>
      )}
    </div>
  );
}
