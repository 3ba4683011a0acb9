import type { Analysis, Group } from '../analysis/result';
import { formatList, formatPercent, formatRatio } from './format';
import { inSentence } from './questionWords';

const imbalance = 0.1; // absolute standardised difference; Austin 2009, Stat Med 28:3083
const dominated = 50; // percent of a group's procedures at one user; common practice, no source

function unlikeCaseMix({ caseMix, groups }: Analysis): string[] {
  if (groups.length < 2) return [];
  const unlike = [...caseMix].filter((mix) => mix.largestDifference > imbalance).sort((a, b) => b.largestDifference - a.largestDifference).slice(0, 3);
  if (unlike.length === 0) return ['The groups are alike in every recorded characteristic (standardised differences up to 0.1); they may differ in what is not recorded.'];
  const named = unlike.map((mix) => `${inSentence(mix.label)} (${Number.isFinite(mix.largestDifference) ? formatRatio(mix.largestDifference) : 'all against none'})`);
  return [`The groups differ most in ${formatList(named)}; in brackets the standardised difference. Not everything that differs is adjusted for.`];
}

function largestUser(group: Group): string[] {
  const users = [
    { name: 'hospital', share: group.largestHospitalShare, number: group.hospitals },
    { name: 'surgeon', share: group.largestSurgeonShare, number: group.surgeons },
  ];
  return users.filter(({ share }) => share >= dominated).slice(-1).map(({ name, share }) =>
    `One ${name} did ${formatPercent(share)}% of “${group.label}”: what is seen there may be the ${name}’s and not the implant’s.`);
}

function unlikePeriods({ groups }: Analysis): string[] {
  if (groups.length < 2) return [];
  const from = Math.max(...groups.map((g) => g.firstYear)), to = Math.min(...groups.map((g) => g.lastYear));
  if (from > to) return ['Some of the groups were never in use in the same years: designs and times can’t be told apart.'];
  const [first, last] = [Math.min(...groups.map((g) => g.firstYear)), Math.max(...groups.map((g) => g.lastYear))];
  return from - first >= 3 || last - to >= 3 ? [`All groups were in use together from ${from} to ${to} only, of ${first} to ${last}: practice changed in between.`] : [];
}

/** What sets the groups apart besides their name, as found in these data. */
export const comparability = (analysis: Analysis): readonly string[] =>
  [...unlikeCaseMix(analysis), ...analysis.groups.flatMap(largestUser), ...unlikePeriods(analysis)];

/** What a reader must bear in mind whatever the numbers are. */
export const standingCautions: readonly string[] = [
  'An association is not proof: indication, anatomy and the surgeon’s preference decide who gets which implant, and only some of that is recorded.',
  'A joint that was not revised need not be a good one: pain and poor function without another operation are not seen here.',
  'The percentages ask what would happen if patients did not die. As patients live, fewer are revised, above all among the old.',
  'Where too few are at risk the curves stop. That nothing is seen there does not mean that nothing happens.',
  'The latest months may be incomplete: revisions reach a registry late.',
  'This is not a recall notice, not a medical device and no advice for one patient. Local governance, device-reporting duties and the judgement of a licensed surgeon come first.',
];
