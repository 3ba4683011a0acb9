import type { Provenance } from '../reports/csv';
import type { Evidence } from '../reports/evidence';
import { sourceEntry, sourceLine } from '../reports/provenance';

/** Where frozen numbers come from. */
export const caseProvenance = ({ question, source, look, methods }: Evidence): Provenance => [
  { label: 'Question', text: question },
  sourceEntry(source),
  ...(look === null ? [] : [{ label: 'Look', text: String(look) }]),
  ...methods.map((text) => ({ label: 'Estimator', text })),
];

/** `Tervania, version 4, …, look 3`. */
export const caseSourceLine = ({ source, look }: Pick<Evidence, 'source' | 'look'>): string => `${sourceLine(source)}${look === null ? '' : `, look ${look}`}`;
