import { ProgressBar } from 'react-aria-components';
import { progressDetail } from '../../lib/reports/progressWords';
import { TextButton } from './TextButton';
import type { Progress } from '../worker/workbench';
import './ProgressLine.css';

type Props = Pick<Progress, 'label' | 'rows' | 'secondsLeft'> & {
  readonly fraction?: number;
  /** Lies over the answer below, which stays where it is. */
  readonly over?: boolean;
  /** Offers to end what is being done. */
  readonly onCancel?: () => void;
};

/** What is being done and how far it is. Shows only once the wait is longer than half a second; only the stages are read aloud. */
export function ProgressLine({ label, fraction, over = false, onCancel, ...progress }: Props) {
  const detail = progressDetail(progress);
  const line = (
    <div className="progress-line">
      <p role="status">{label} …</p>
      {fraction !== undefined && <ProgressBar value={fraction} maxValue={1} aria-label={label}><progress value={fraction} aria-hidden /></ProgressBar>}
      {detail !== '' && <p className="detail">{detail}</p>}
      {onCancel !== undefined && <p><TextButton label="Cancel loading" onPress={onCancel}>Cancel</TextButton></p>}
    </div>
  );
  return over ? <div className="over-answer">{line}</div> : line;
}
