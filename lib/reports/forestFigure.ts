import type { Analysis, AnsweredCurves, AnsweredRatios, CoxRatios, CoxResult, HazardRatio } from '../analysis/result';
import { forest, forestRow, type ForestFigure, type ForestPart, type Place } from './forest';
import { formatPEquation } from './format';
import { adjustedWords, capital, reasonWords } from './phrases';
import { periodsTable, ratiosTable } from './comparisonTables';
import { periodName } from './plainWords';
import { hiddenRows, protectSmallCounts } from './smallCounts';

const heading = (cox: CoxRatios): string => (cox.adjustedFor.length === 0 ? 'Not adjusted' : capital(adjustedWords(cox)));

/** What the test of proportional hazards says of the groups, in a sentence. */
export function proportionalityWords(cox: CoxResult): string {
  if ('status' in cox.proportionalHazards) return `Whether the ratio is the same at all times could not be tested: ${reasonWords(cox.proportionalHazards.reason)}.`;
  const test = cox.proportionalHazards.find((t) => t.term === 'group');
  if (test === undefined) return 'Whether the ratio is the same at all times was not tested.';
  return cox.groupsProportional
    ? `No sign that the ratio changes with time since surgery (test of proportional hazards: ${formatPEquation(test.p)}), though such a test misses much when revisions are few.`
    : `The ratio changes with time since surgery (test of proportional hazards: ${formatPEquation(test.p)}): read it by period.`;
}

/** What does not leave with the table leaves with no drawing either. */
function withheldIn(analysis: AnsweredCurves, cox: CoxRatios): ReadonlySet<HazardRatio> {
  const hidden = hiddenRows(protectSmallCounts(ratiosTable('', '', analysis, cox)));
  return new Set(cox.ratios.filter((_, r) => hidden.has(r)));
}
function withheldByPeriod(analysis: Analysis, cox: CoxResult): ReadonlySet<HazardRatio> {
  const hidden = hiddenRows(protectSmallCounts(periodsTable(analysis, cox))), ratios = 'status' in analysis.periods ? [] : analysis.periods.flatMap((period) => period.ratios.filter(({ term }) => term === 'group'));
  return new Set(ratios.filter((_, r) => hidden.has(r)));
}

function groupParts(analysis: Analysis, cox: CoxResult, place: Place): ForestPart[] {
  const rowsOf = (ratios: readonly HazardRatio[], withheld: ReadonlySet<HazardRatio>) => ratios.filter((r) => r.term === 'group').map((r) => forestRow(analysis.groups, r, place, { withheld: withheld.has(r) }));
  const overall = { key: 'all-times', heading: heading(cox), note: proportionalityWords(cox), demoted: false, rows: rowsOf(cox.ratios, withheldIn(analysis, cox)) };
  if (cox.groupsProportional || 'status' in cox.proportionalHazards) return [overall];
  const { periods } = analysis, withheld = withheldByPeriod(analysis, cox);
  const byPeriod = 'status' in periods
    ? [{ key: 'no-periods', heading: 'By period since surgery', note: `Ratios by period can't be estimated: ${reasonWords(periods.reason)}.`, demoted: false, rows: [] }]
    : periods.map((period, i): ForestPart => ({
      key: `from-${period.fromDay}`, heading: `${heading(cox)}, ${periodName(period, analysis.question.cutYears)}`, note: i === 0 ? proportionalityWords(cox) : null, demoted: false, rows: rowsOf(period.ratios, withheld),
    }));
  return [...byPeriod, { ...overall, heading: `${overall.heading}, all times taken together`, note: 'One ratio for all times hides the change above. It is given for completeness only.', demoted: true }];
}

function parts(analysis: Analysis, place: Place): readonly ForestPart[] {
  const { adjusted, unadjusted } = analysis;
  if (adjusted.status === 'notEstimable') return [{ key: 'none', heading: 'Hazard ratios', note: `Can't be estimated: ${reasonWords(adjusted.reason)}.`, demoted: false, rows: [] }];
  const withheld = withheldIn(analysis, adjusted), covariates = adjusted.ratios.filter((r) => r.term !== 'group').map((r) => forestRow(analysis.groups, r, place, { withheld: withheld.has(r) }));
  const plain = unadjusted.status === 'ok' && adjusted.adjustedFor.length > 0
    ? [{ key: 'not-adjusted', heading: 'Not adjusted', note: null, demoted: false, rows: unadjusted.ratios.filter((r) => r.term === 'group').map((r) => forestRow(analysis.groups, r, place, { withheld: withheldIn(analysis, unadjusted).has(r) })) }] : [];
  return [
    ...groupParts(analysis, adjusted, place), ...plain,
    ...(covariates.length > 0 ? [{ key: 'covariates', heading: 'The covariates of the adjusted model', note: 'Not to be read as effects: each is adjusted for the others and the groups.', demoted: true, rows: covariates }] : []),
  ];
}

/** The ratios of the groups before it is tested whether they hold at all times. */
export const firstForestFigure = (first: AnsweredRatios): ForestFigure => forest((place) => {
  const { adjusted, groups } = first;
  if (adjusted.status === 'notEstimable') return [{ key: 'none', heading: 'Hazard ratios', note: `Can't be estimated: ${reasonWords(adjusted.reason)}.`, demoted: false, rows: [] }];
  const withheld = withheldIn(first, adjusted), ratios = adjusted.ratios.filter(({ term }) => term === 'group');
  return [{
    key: 'all-times', heading: heading(adjusted), note: 'Whether the ratio changes with time since surgery is being worked out.', demoted: false,
    rows: ratios.map((ratio) => forestRow(groups, ratio, place, { withheld: withheld.has(ratio) })),
  }];
});

/** Hazard ratios against the reference on one logarithmic axis; by period first where one ratio for all times would mislead. */
export const forestFigure = (analysis: Analysis): ForestFigure => forest((place) => parts(analysis, place));
