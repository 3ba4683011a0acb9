import type { ReactNode } from 'react';
import './Problems.css';

/** What went wrong, in finished sentences. */
export function Problems({ heading, problems, after }: { readonly heading: string; readonly problems: readonly string[]; readonly after?: ReactNode }) {
  return (
    <section className="problems" role="alert">
      <h2>{heading}</h2>
      <ul>{problems.map((problem) => <li key={problem}>{problem}</li>)}</ul>
      {after}
    </section>
  );
}
