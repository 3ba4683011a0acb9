import type { QualityResult } from '../../quality/qualityResult';
import { paragraph, type Block } from '../blocks';
import type { Provenance } from '../csv';
import { formatCount, formatList, formatPercent } from '../format';
import { finished, type Words } from '../phrases';
import { sourceEntry, sourceLine } from '../provenance';
import { inSentence } from '../questionWords';
import { completenessBlocks } from './completenessBlocks';
import { driftBlocks } from './driftBlocks';
import { lagBlocks, lostBlocks } from './followUpBlocks';
import { linkageBlocks } from './linkageBlocks';
import { patternBlocks } from './patternBlocks';
import type { QualityView } from './qualityView';

export interface QualitySection { readonly id: string; readonly heading: string; readonly blocks: readonly Block[] }

/** The quality of an extract, ready to be drawn. */
export interface QualityReport {
  readonly status: 'ok';
  readonly source: string;
  readonly provenance: Provenance;
  readonly sections: readonly QualitySection[];
  readonly reoperations: number; // rows of the list of re-operations
}

export const qualityCautions: readonly string[] = [
  'Data errors first: settle what is asked here before a curve, a funnel or a chart is read.',
  'A flag is a question to those who know the records, and no verdict on them. What is not flagged can still be wrong.',
  'Nothing is repaired here. Mend the records where they are kept, and load the extract again.',
  'Line numbers lead to records of patients: what you look up there is governed by your local rules of data protection and confidentiality.',
  'Local governance and the judgement of those who keep the registry come first.',
];

/** What to settle first, in a few sentences. */
function firstWords({ procedures, completeness, linkage, patterns, followUp, lag }: QualityResult): readonly Words[] {
  const poor = completeness.fields.filter(({ recorded, records }) => recorded > 0 && recorded < 0.9 * records).toSorted((a, b) => a.recorded / a.records - b.recorded / b.records);
  const absent = completeness.fields.filter(({ recorded, records }) => recorded === 0 && records > 0);
  const asked = patterns.filter((pattern) => pattern.asked), lost = linkage.read - linkage.all.linked;
  return [
    { text: `${formatCount(procedures)} procedures were kept.`, basis: [procedures] },
    ...(absent.length === 0 ? [] : [{ text: `Not there at all: ${formatList(absent.map(({ label }) => inSentence(label)))}.`, basis: [] }]),
    poor.length === 0
      ? { text: 'Every other field is recorded in at least nine of ten records.', basis: [] }
      : { text: `Recorded in fewer than nine of ten records: ${formatList(poor.map(({ label, recorded, records }) => `${inSentence(label)} (${formatPercent((100 * recorded) / records)}%)`))}.`, basis: poor.map(({ recorded }) => recorded) },
    ...(linkage.read === 0 ? [] : [{ text: `${formatPercent((100 * linkage.all.linked) / linkage.read)}% of the re-operations were linked.`, basis: [lost] }]),
    asked.length === 0
      ? { text: 'No implausible pattern was found.', basis: [] }
      : { text: `To be asked about: ${formatList(asked.map(({ label }) => inSentence(label)))}.`, basis: [] },
    ...(followUp.byHospital.some(({ unlike }) => unlike) ? [{ text: 'Some hospitals lost clearly more follow-up than the others.', basis: [] }] : []),
    ...(lag.months.some(({ revisions }) => revisions.few) ? [{ text: 'Revisions of the latest months are clearly fewer than expected: they may still be reported.', basis: [] }] : []),
  ];
}

export function qualityReport(result: QualityResult, view: QualityView): QualityReport {
  const { source, completeness, linkage, patterns, drift, followUp, lag } = result;
  return {
    status: 'ok', source: sourceLine(source), provenance: [sourceEntry(source)], reoperations: linkage.read,
    sections: [
      { id: 'in-words', heading: 'In words', blocks: paragraph(finished(firstWords(result))) },
      { id: 'completeness', heading: 'What is recorded', blocks: completenessBlocks(completeness, view) },
      { id: 'linkage', heading: 'How re-operations were linked', blocks: linkageBlocks(linkage, view) },
      { id: 'patterns', heading: 'What is implausible', blocks: patternBlocks(patterns, view) },
      { id: 'drift', heading: 'Codes over the years', blocks: driftBlocks(drift) },
      { id: 'lost-follow-up', heading: 'Lost follow-up', blocks: lostBlocks(followUp, view) },
      { id: 'latest-months', heading: 'The latest months', blocks: lagBlocks(lag) },
    ],
  };
}
