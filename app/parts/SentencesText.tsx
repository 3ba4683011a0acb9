import type { Sentence } from '../../lib/reports/phrases';

/** Sentences one after another; one that gives a small count of people away is neither printed nor copied. */
export function SentencesText({ sentences }: { readonly sentences: readonly Sentence[] }) {
  return sentences.map(({ text, staysInside }) => (staysInside
    ? <span key={text}><span className="inside">{text} </span><span className="outside" aria-hidden>A sentence on a small number of people is withheld. </span></span>
    : <span key={text}>{text} </span>));
}
