import type { Reading } from '../../lib/reports/plainWords';
import { SentencesText } from '../parts/SentencesText';

/** The comparison as a surgeon would say it. */
export function InWords({ readings }: { readonly readings: readonly Reading[] }) {
  return (
    <section className="in-words">
      <h2>In words</h2>
      {readings.map(({ group, heading, sentences }) => (
        <div key={group} data-reading={group}>
          {readings.length > 1 && <h3>{heading}</h3>}
          <p><SentencesText sentences={sentences} /></p>
        </div>
      ))}
    </section>
  );
}
