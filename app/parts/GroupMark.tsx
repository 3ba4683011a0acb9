import { seriesColour, seriesDash } from './series';
import './GroupMark.css';

/** A piece of the group's line, as in the figures. */
export function GroupMark({ group, thin = false }: { readonly group: number; readonly thin?: boolean }) {
  return (
    <svg className="group-mark" width="26" height="8" aria-hidden>
      <line x1="0" y1="4" x2="26" y2="4" stroke={seriesColour(group)} strokeWidth={thin ? 1 : 2.5} strokeDasharray={seriesDash(group)} />
    </svg>
  );
}
