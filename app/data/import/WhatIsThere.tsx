import { formatList } from '../../../lib/reports/format';
import type { Draft } from '../../../lib/reports/importing/draft';
import { whatIsThere } from '../../../lib/reports/importing/whatIsThere';

/** Whether the least is there, and what pages will not be able to say. */
export function WhatIsThere({ draft }: { readonly draft: Draft }) {
  const { isEnough, there, missing, without } = whatIsThere(draft);
  return (
    <div className="what-is-there" role="status">
      {isEnough
        ? <p>The least that answers a question is there: {formatList(there)}.</p>
        : <p className="problem">Not enough yet. Still missing: {formatList(missing)}.{there.length > 0 && ` There already: ${formatList(there)}.`}</p>}
      {without.length > 0 && <ul>{without.map((words) => <li key={words}>{words}</li>)}</ul>}
    </div>
  );
}
