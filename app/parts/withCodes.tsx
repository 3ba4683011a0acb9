import { Fragment, type ReactNode } from 'react';

const longest = 24; // characters; a longer one has to break in a narrow column

/** A word with a hyphen that has a digit in it, or nothing but capitals: a code, or a day. */
const isCode = (word: string): boolean => /.-./.test(word) && word.length <= longest && (/\d/.test(word) || !/\p{Ll}/u.test(word));

/** Text in which no code of a model breaks over lines at its hyphens. The text itself stays as it is, to be copied. */
export function withCodes(text: string): ReactNode {
  if (!text.includes('-')) return text;
  return text.split(/(\s+)/).map((word, i) => (isCode(word) ? <span key={i} className="unbroken">{word}</span> : <Fragment key={i}>{word}</Fragment>));
}
