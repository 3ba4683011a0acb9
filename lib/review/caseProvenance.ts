import type { Provenance } from '../reports/csv';
import type { Evidence } from '../reports/evidence';
import { sourceLine } from '../reports/provenance';

/** Where frozen numbers come from. */
export const caseProvenance = ({ question, source, look, methods }: Evidence): Provenance => [
  { label: 'Question', text: question },
  { label: 'Source', text: `${source.registry}, version ${source.version}, closing date ${source.closingDate}, SHA-256 ${source.fingerprint}` },
  ...(look === null ? [] : [{ label: 'Look', text: String(look) }]),
  ...methods.map((text) => ({ label: 'Estimator', text })),
];

/** `Tervania, version 4, …, look 3`. */
export const caseSourceLine = ({ source, look }: Pick<Evidence, 'source' | 'look'>): string => `${sourceLine(source)}${look === null ? '' : `, look ${look}`}`;
