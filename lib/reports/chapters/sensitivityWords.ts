import type { Sensitivity, SensitivityGroup, SensitivityLine } from '../../analysis/chapters/sensitivityResult';
import type { HazardRatio } from '../../analysis/result';
import { isEstimate } from '../estimate';
import { formatList, formatRatio } from '../format';
import { quoted, reasonWords, type Words } from '../phrases';
import { inSentence } from '../questionWords';

/** `Adjusted for Age, Sex` → `Adjusted for age and sex`. */
export const lineLabel = ({ label }: SensitivityLine): string =>
  label.replace(/^Adjusted for (.+)$/, (_, list: string) => `Adjusted for ${formatList(list.split(', ').map(inSentence))}`);

interface Estimated { readonly line: SensitivityLine; readonly ratio: HazardRatio; readonly value: number; readonly shift: number }

/** The lines that have an estimate for a group. */
const estimatedOf = (lines: readonly SensitivityLine[], g: number): readonly Estimated[] => lines.flatMap((line): Estimated[] => {
  if (line.result.status !== 'ok') return [];
  const ratio = line.result.ratios[g], shift = line.result.shifts[g] ?? NaN;
  return ratio !== undefined && isEstimate(ratio.estimate) ? [{ line, ratio, value: ratio.estimate.value, shift }] : [];
});

/** What all lines say of one group, and which ones say something else. */
export function linesWords(group: SensitivityGroup, g: number, lines: readonly SensitivityLine[]): Words[] {
  const { estimated, smallest, largest, sameSide, clear } = group, found = estimatedOf(lines, g), asked = found.find(({ line }) => line.family === 'asked');
  if (asked === undefined || estimated < 2) return [{ text: `For ${quoted(group)} there is nothing to hold the alternatives against.`, basis: [] }];
  const basis = found.map(({ ratio }) => ratio.events);
  const all = sameSide === estimated ? `in all of them on the same side of 1 as the ratio as asked (${formatRatio(asked.value)})` : `in ${sameSide} of them on the same side of 1 as the ratio as asked (${formatRatio(asked.value)})`;
  const words: Words[] = [{
    text: `Put in ${estimated} ways, the ratio of ${quoted(group)} lies between ${formatRatio(smallest)} and ${formatRatio(largest)}: ${all}, and in ${clear === 0 ? 'none' : clear === estimated ? 'all' : clear} with limits that leave out 1.`, basis,
  }];
  const across = found.filter(({ value }) => (value - 1) * (asked.value - 1) < 0);
  if (across.length > 0) words.push({ text: `On the other side: ${formatList(across.map(({ line, value }) => `${inSentence(lineLabel(line))} (${formatRatio(value)})`))}.`, basis: across.map(({ ratio }) => ratio.events) });
  return words;
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
