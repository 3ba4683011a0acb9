/** Least length, in characters: what NIST SP 800-63B-4 (2025, 3.1.1.2) asks of a password that stands alone. No rule on kinds of characters. */
export const leastCharacters = 15;
const leastDifferent = 5;

/** What a person is told where a passphrase is chosen. */
export const passphraseRule = `At least ${leastCharacters} characters: four or five words that do not belong together are easy to keep in mind and hard to guess.`;
export const noWayBack = 'A forgotten passphrase cannot be recovered: nobody has a copy of it, and without it what is kept cannot be read by anyone.';

/** Why a passphrase is not taken; null: it is. */
export function passphraseProblem(passphrase: string): string | null {
  const characters = Array.from(passphrase.normalize('NFKC')); // code points
  if (characters.length < leastCharacters) return `The passphrase has ${characters.length} characters; it needs at least ${leastCharacters}.`;
  if (new Set(characters).size < leastDifferent) return 'The passphrase repeats the same few characters.';
  return null;
}
