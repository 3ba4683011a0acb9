import { labelOf } from '../contract/codes';
import * as codes from '../contract/codes';
import type { AnsweredCurves } from '../analysis/result';
import type { Source } from '../engine/loadedExtract';
import type { Provenance } from './csv';
import { formatConfidence, formatDate, formatList, formatPercent, formatSpan } from './format';
import { clusterLabels, questionSentence, strataLabels } from './questionWords';
import { guardedCount } from './smallCounts';

/** `Registry, version 3, follow-up to 31 December 2024, fingerprint 1a2b3c4d5e6f`. */
export const sourceLine = ({ registry, version, closingDate, fingerprint }: Source): string =>
  `${registry}, version ${version}, follow-up to ${formatDate(closingDate)}, fingerprint ${fingerprint.slice(0, 12)}`;

/** The data in full, for the head of a file. */
export const sourceEntry = ({ registry, version, closingDate, fingerprint }: Source): Provenance[number] =>
  ({ label: 'Source', text: `${registry}, version ${version}, closing date ${closingDate}, SHA-256 ${fingerprint}` });

/** What was asked beyond the question's sentence. */
export function settingsLine({ question }: AnsweredCurves): string {
  const { strata, cluster, outcome, confidence, largestStep, cutYears } = question;
  return [
    `confidence ${formatConfidence(confidence)}`,
    largestStep === 0 ? 'no stop rule' : `curves stop where one more revision would lower survival by more than ${formatPercent(100 * largestStep)} points`,
    `periods cut at ${cutYears.length === 0 ? 'no time' : formatList(cutYears.map(formatSpan))}`,
    ...(strata.length > 0 ? [`stratified by ${formatList(strata.map((s) => strataLabels[s]))}`] : []),
    `clusters: ${clusterLabels[cluster]}`,
    ...(outcome.reasons.length > 0 ? [`reasons: ${outcome.reasons.map((r) => labelOf(codes.reasonCodes, r)).join('; ')}`] : []),
  ].join('; ');
}

export function provenanceOf(analysis: AnsweredCurves): Provenance {
  const { groups, question, source } = analysis;
  const total = (of: 'procedures' | 'events') => guardedCount(groups.reduce((sum, g) => sum + g[of], 0));
  return [
    { label: 'Question', text: questionSentence(question, (key) => groups.find((g) => g.key === key)?.label ?? key) },
    { label: 'Cohort', text: `${total('procedures')} procedures in ${groups.length} groups, ${total('events')} revised` },
    { label: 'Settings', text: settingsLine(analysis) },
    sourceEntry(source),
  ];
}
