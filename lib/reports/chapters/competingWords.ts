import type { CompetingGroup, CompetingRatios, CompetingRisks, GrayTest } from '../../analysis/chapters/competingRisksResult';
import type { NotEstimable } from '../../stats/cells';
import { isEstimate } from '../estimate';
import { formatCount, formatDecimal, formatList, formatPEquation, formatRatio } from '../format';
import { finished, quoted, reasonWords, type Sentence, type Words } from '../phrases';
import { inSentence } from '../questionWords';

const testWords = (what: string, test: GrayTest | NotEstimable): string => (test.status === 'ok'
  ? `of ${what}: χ² ${formatDecimal(test.chisq)} on ${test.df} ${test.df === 1 ? 'degree' : 'degrees'} of freedom, ${formatPEquation(test.p)}`
  : `of ${what}: not to be had, as ${reasonWords(test.reason)}`);

/** Gray's tests that the groups have the same cumulative incidence. */
export function grayWords({ groups, gray: { revision, death } }: CompetingRisks): readonly Sentence[] {
  if (groups.length < 2) return [];
  if (revision.status !== 'ok' && death.status !== 'ok' && revision.reason === death.reason) return finished([{ text: `Gray’s tests can’t be made: ${reasonWords(revision.reason)}.`, basis: [] }]);
  const leftOut = [revision, death].flatMap((test) => (test.status === 'ok' ? [test.leftOut] : []))[0] ?? 0;
  return finished([
    { text: `Gray’s test that the groups have one cumulative incidence, not adjusted; ${testWords('revision', revision)}; ${testWords('death before revision', death)}.`, basis: [] },
    { text: 'Where the groups’ patients do not die alike, the first of the two says what happened to patients, and little of the implants.', basis: [] },
    ...(leftOut > 0 ? [{ text: `${formatCount(leftOut)} procedures that are followed from a later day only are not in these tests.`, basis: [leftOut] }] : []),
  ]);
}

/** Which reasons led, in each group. */
export function reasonsWords({ groups, reasons }: CompetingRisks): readonly Sentence[] {
  const label = (key: string) => (key === 'other' ? 'other reasons' : key === 'not_recorded' ? 'a reason not recorded' : inSentence(reasons.find((r) => r.key === key)?.label ?? key));
  return finished(groups.flatMap((group): Words[] => {
    const leading = [...group.reasons].filter(({ events }) => events > 0).sort((a, b) => b.events - a.events).slice(0, 3);
    if (leading.length === 0) return [];
    const all = group.events.revision;
    return [{
      text: `In ${quoted(group)}, ${formatCount(all)} revised: ${formatList(leading.map(({ reason, events }) => `${formatCount(events)} for ${label(reason)}`))}${leading.length < group.reasons.filter(({ events }) => events > 0).length ? ' first of all' : ''}.`,
      basis: [all, ...leading.map(({ events }) => events)],
    }];
  }));
}

const alike = 1.05; // ratios less than 5 % apart are read alike; common practice, no source

/** What death does to the ratio of one group. */
function deathWords({ label, revision, death, subdistribution }: CompetingRatios['groups'][number]): Words[] {
  if (!isEstimate(revision.estimate) || !isEstimate(subdistribution.estimate)) return [];
  const [among, kept] = [revision.estimate.value, subdistribution.estimate.value];
  const shift = Math.max(among / kept, kept / among);
  const basis = [revision.events, death.events];
  if (shift < alike) return [{ text: `In ${quoted({ label })} the ratio is about the same whether the dead leave the comparison (${formatRatio(among)}) or stay in it (${formatRatio(kept)}).`, basis }];
  const died = isEstimate(death.estimate) ? `; the ratio for death is ${formatRatio(death.estimate.value)}` : '';
  return [{
    text: `In ${quoted({ label })} the ratio goes from ${formatRatio(among)} to ${formatRatio(kept)} when the dead stay in the comparison${died}. The first is about implants, the second about patients.`,
    basis,
  }];
}

export const competingRatiosWords = (ratios: CompetingRatios): readonly Sentence[] => finished(ratios.groups.flatMap(deathWords));

export const hasDeaths = ({ groups }: Pick<CompetingRisks, 'groups'>): boolean => groups.some(({ events }) => events.death > 0);

/** Died unrevised, of all: how much death there is to compete. Where none is on record, that none died is not said. */
export const deathsWords = ({ groups }: CompetingRisks): readonly Sentence[] => finished(!hasDeaths({ groups }) ? [] : [{
  text: `Within the horizon ${formatList(groups.map((group: CompetingGroup) => `${formatCount(group.events.death)} of the ${formatCount(group.procedures)} in ${quoted(group)}`))} died unrevised.`,
  basis: groups.flatMap(({ events, procedures }) => [events.death, procedures]),
}]);
