import type { Source } from '../engine/loadedExtract';
import type { Block } from './blocks';

/** What a question can be raised about. A component is known by its model, the others by their identifier in the extract. */
export interface Subject {
  readonly kind: 'hospital' | 'surgeon' | 'component';
  readonly id: string;
  readonly label: string; // in running text: `hospital H012`, `glenoid component G-KEE-01`
}

/** What was on the page when a question was raised, to be frozen with it. All of it can be written as JSON. */
export interface Evidence {
  readonly subject: Subject;
  readonly title: string;
  readonly question: string; // as a sentence
  readonly request: unknown; // from which the same numbers can be had again
  readonly source: Source; // version and fingerprint of the data
  readonly look: number | null; // which look at the accumulating data; null: not counted
  readonly blocks: readonly Block[];
  readonly methods: readonly string[];
  readonly notes: readonly string[];
}
