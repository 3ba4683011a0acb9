/** What a committee can decide. What follows from it is for local governance and the law of the place. */
export const actions = ['noAction', 'watch', 'moreData', 'askUnit', 'restrictUse', 'report'] as const;
export type Action = (typeof actions)[number];

export const actionLabels: Readonly<Record<Action, string>> = {
  noAction: 'No action',
  watch: 'Watch, and look again',
  moreData: 'More data are needed first',
  askUnit: 'Ask the unit',
  restrictUse: 'Restrict use (local decision)',
  report: 'Report to the device authority (local duty)',
};

/** Those that bear on a unit or an implant: they wait for the right of reply. */
export const weighsOnOthers = (action: Action): boolean => action === 'restrictUse' || action === 'report';
