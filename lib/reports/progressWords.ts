import type { LoadProgress } from '../engine/loadProgress';
import { formatCount } from './format';

/** `1,250,000 of 5,000,000 rows, about 40 seconds left`; empty where neither can be said. */
export function progressDetail({ rows, secondsLeft }: Pick<LoadProgress, 'rows' | 'secondsLeft'>): string {
  const counted = rows === undefined ? [] : [`${formatCount(rows.done)}${rows.of === undefined ? '' : ` of ${formatCount(rows.of)}`} rows`];
  return [...counted, ...(secondsLeft === undefined ? [] : [timeLeft(secondsLeft)])].join(', ');
}

/** Coarser the longer it is, so that it does not flicker. */
function timeLeft(seconds: number): string {
  if (seconds < 8) return 'a few seconds left';
  if (seconds < 90) return `about ${5 * Math.round(seconds / 5)} seconds left`;
  const minutes = Math.round(seconds / 60);
  return `about ${minutes === 1 ? '1 minute' : `${formatCount(minutes)} minutes`} left`;
}
