import type { Reading } from '../../lib/reports/plainWords';

/** The comparison as a surgeon would say it. */
export function InWords({ readings }: { readonly readings: readonly Reading[] }) {
  return (
    <section className="in-words">
      <h2>In words</h2>
      {readings.map(({ group, heading, sentences }) => (
        <div key={group} data-reading={group}>
          {readings.length > 1 && <h3>{heading}</h3>}
          <p>
            {sentences.map(({ text, staysInside }) => (staysInside
              ? <span key={text}><span className="inside">{text} </span><span className="outside" aria-hidden>A sentence on fewer than five revisions is withheld. </span></span>
              : <span key={text}>{text} </span>))}
          </p>
        </div>
      ))}
    </section>
  );
}
