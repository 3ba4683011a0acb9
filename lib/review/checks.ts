/** What is looked at before anybody is judged, in this order: data errors first, practice last. */
export const checkSteps = ['data', 'caseMix', 'concentration', 'implant', 'practice'] as const;
export type CheckStep = (typeof checkSteps)[number];

export const checks: Readonly<Record<CheckStep, { readonly label: string; readonly asks: string }>> = {
  data: { label: 'Data quality', asks: 'Are the records complete, linked to the right joint and coded rightly? Is every revision real, and of this procedure?' },
  caseMix: { label: 'Case mix', asks: 'Do patients or indications differ from those of the others in ways that the adjustment cannot meet?' },
  concentration: { label: 'Concentration', asks: 'Does it come from one hospital, one surgeon, one period or a few early cases?' },
  implant: { label: 'Implant', asks: 'Does it go with a component, a size, a material or a combination of components?' },
  practice: { label: 'Practice', asks: 'When the others do not explain it: indication, technique, aftercare and the threshold for revising.' },
};

/** What a check found. Set aside: not done, for a reason that is given. */
export const checkResults = ['explains', 'partly', 'doesNotExplain', 'cannotTell', 'setAside'] as const;
export type CheckResult = (typeof checkResults)[number];

export const checkResultLabels: Readonly<Record<CheckResult, string>> = {
  explains: 'explains the difference',
  partly: 'explains a part of it',
  doesNotExplain: 'does not explain it',
  cannotTell: 'cannot tell',
  setAside: 'set aside, with a reason',
};
