import './Contents.css';

/** The parts of the answer, to go to. */
export function Contents({ parts }: { readonly parts: readonly { readonly id: string; readonly heading: string }[] }) {
  return (
    <nav className="on-this-page" aria-label="On this page">
      <ul>{parts.map(({ id, heading }) => <li key={id}><a href={`#${id}`}>{heading}</a></li>)}</ul>
    </nav>
  );
}
