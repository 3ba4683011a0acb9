/** Where a question stands. Words of everyday use: none of them says that somebody failed. */
export const states = ['asked', 'checking', 'withUnit', 'committee', 'decided', 'watched', 'closed'] as const;
export type State = (typeof states)[number];

export const stateLabels: Readonly<Record<State, string>> = {
  asked: 'asked',
  checking: 'being checked',
  withUnit: 'with the unit',
  committee: 'before the committee',
  decided: 'decided',
  watched: 'closed, watched',
  closed: 'closed',
};

/** Which states may follow which. Each can be left again: a closed question can be taken up, a decision can go back. */
export const nextStates: Readonly<Record<State, readonly State[]>> = {
  asked: ['checking', 'closed'],
  checking: ['withUnit', 'committee', 'closed'],
  withUnit: ['checking', 'committee'],
  committee: ['checking', 'withUnit', 'decided'],
  decided: ['committee', 'watched', 'closed'],
  watched: ['checking', 'closed'],
  closed: ['checking'],
};

export const isClosed = (state: State): boolean => state === 'watched' || state === 'closed';
