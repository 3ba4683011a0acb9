import type { Sensitivity, SensitivityGroup, SensitivityLine } from '../../analysis/chapters/sensitivityResult';
import type { Estimate, HazardRatio } from '../../analysis/result';
import { isEstimate } from '../estimate';
import { formatList, formatRatio } from '../format';
import { quoted, reasonWords, type Words } from '../phrases';
import { inSentence } from '../questionWords';

/** `Adjusted for Age, Sex` → `Adjusted for age and sex`. */
export const lineLabel = ({ label }: SensitivityLine): string =>
  label.replace(/^Adjusted for (.+)$/, (_, list: string) => `Adjusted for ${formatList(list.split(', ').map(inSentence))}`);

interface Estimated { readonly line: SensitivityLine; readonly ratio: HazardRatio; readonly value: number; readonly limits: Estimate }

/** The lines that have an estimate for a group. */
const estimatedOf = (lines: readonly SensitivityLine[], g: number): readonly Estimated[] => lines.flatMap((line): Estimated[] => {
  if (line.result.status !== 'ok') return [];
  const ratio = line.result.ratios[g];
  return ratio !== undefined && isEstimate(ratio.estimate) ? [{ line, ratio, value: ratio.estimate.value, limits: ratio.estimate }] : [];
});

const fewest = 5; // revisions of a group from which a line counts in words; common practice, no source

/** What all lines say of one group, and which ones say something else. Lines on a handful of revisions say anything, and are only drawn. */
export function linesWords(group: Pick<SensitivityGroup, 'label'>, g: number, lines: readonly SensitivityLine[]): Words[] {
  const all = estimatedOf(lines, g), asked = all.find(({ line }) => line.family === 'asked');
  const found = asked !== undefined && asked.ratio.events >= fewest ? all.filter(({ ratio }) => ratio.events >= fewest) : all, few = all.length - found.length;
  const handful = few === 0 ? [] : [{ text: `${few === 1 ? 'One more way rests' : `${few} more ways rest`} on fewer than ${fewest} revisions: too few to count here.`, basis: [] }];
  if (asked === undefined || found.length < 2) return [{ text: `For ${quoted(group)} there is nothing to hold the alternatives against.`, basis: [] }, ...handful];
  const values = found.map(({ value }) => value), same = found.filter(({ value }) => Math.sign(value - 1) === Math.sign(asked.value - 1)), clear = same.filter(({ limits: { lower, upper } }) => lower > 1 || upper < 1);
  const words: Words[] = [{
    text: `Put in ${found.length} ways, the ratio of ${quoted(group)} lies between ${formatRatio(Math.min(...values))} and ${formatRatio(Math.max(...values))}: in ${same.length === found.length ? 'all' : same.length} of them on the same side of 1 as the ratio as asked (${formatRatio(asked.value)}), `
      + `and in ${clear.length === 0 ? 'none' : clear.length === found.length ? 'all' : clear.length} with limits that leave out 1.`,
    basis: found.map(({ ratio }) => ratio.events),
  }];
  const across = found.filter(({ value }) => (value - 1) * (asked.value - 1) < 0);
  if (across.length > 0) words.push({ text: `On the other side: ${formatList(across.map(({ line, value }) => `${inSentence(lineLabel(line))} (${formatRatio(value)})`))}.`, basis: across.map(({ ratio }) => ratio.events) });
  return [...words, ...handful];
}

/** How strong an unmeasured confounder would have to be. */
export function eValueWords({ label, eValue }: SensitivityGroup, { frequency }: Sensitivity): Words {
  const group = quoted({ label });
  if (eValue.status !== 'ok') return { text: `How strong something unrecorded would have to be to explain the ratio of ${group} away can’t be said: ${reasonWords(eValue.reason)}.`, basis: [] };
  const approximate = frequency === 'common' ? ', approximately, as revision is common here' : '';
  if (!(eValue.limit > 1)) {
    return { text: `The limits of ${group} include no difference as it is; to explain the ratio itself away, something unrecorded would have to go with group and revision ${formatRatio(eValue.estimate)}-fold each (E-value${approximate}).`, basis: [] };
  }
  return {
    text: `To explain the ratio of ${group} away, something unrecorded would have to be ${formatRatio(eValue.estimate)} times as frequent in one of the groups and raise the risk of revision ${formatRatio(eValue.estimate)}-fold, over and above what is adjusted for; `
      + `with ${formatRatio(eValue.limit)} in both places its limit would reach 1 (E-values${approximate}).`,
    basis: [],
  };
}
