import { measures, type MeasureSection } from '../../contract/measures';
import type { VisitsQuestion } from '../../contract/visitsQuestion';
import type { NoVisits, VisitsAnalysis } from '../../visits/visitsResult';
import type { Block } from '../blocks';
import type { Provenance } from '../csv';
import { formatCount } from '../format';
import { asSentence } from '../phrases';
import { sourceEntry, sourceLine } from '../provenance';
import { guardedCount } from '../smallCounts';
import { agreementBlocks } from './agreementBlocks';
import { amountBlocks } from './amountBlocks';
import { firstSignBlocks } from './firstSignBlocks';
import { glanceBlocks } from './glance';
import { gradeBlocks } from './gradeBlocks';
import { signBlocks } from './signBlocks';
import { labelIn } from './visitLabels';
import { visitsQuestionSentence, visitsSettings } from './visitsQuestionWords';
import { warningBlocks } from './warningBlocks';
import { whoCame } from './whoCame';
import { zoneBlocks } from './zoneBlocks';

export interface VisitsSection { readonly id: string; readonly heading: string; readonly blocks: readonly Block[] }

/** What the follow-up visits tell, ready to be drawn. */
export interface VisitsReport {
  readonly status: 'ok';
  readonly question: VisitsQuestion;
  readonly groups: readonly { readonly key: string; readonly label: string }[];
  readonly recorded: readonly string[]; // names of measures
  readonly instruments: readonly string[];
  readonly source: string;
  readonly provenance: Provenance;
  readonly settings: string;
  readonly basis: string;
  readonly sections: readonly VisitsSection[];
  readonly methods: readonly string[];
  readonly notes: readonly string[];
  readonly cautions: readonly string[];
}
export interface NoVisitsReport { readonly status: 'empty'; readonly reason: string }

export function visitsReport(analysis: VisitsAnalysis | NoVisits): VisitsReport | NoVisitsReport {
  if (analysis.status === 'empty') return { status: 'empty', reason: analysis.reason };
  const { question, groups, source, methods, notes, cautions, recorded, instruments } = analysis;
  const procedures = groups.reduce((sum, group) => sum + group.procedures, 0), patients = groups.reduce((sum, group) => sum + group.patients, 0);
  return {
    status: 'ok', question, recorded, cautions,
    groups: groups.map(({ key, label }) => ({ key, label })),
    instruments: instruments.flatMap(({ code }) => (code === null ? [] : [code])),
    source: sourceLine(source),
    settings: visitsSettings(question),
    basis: `${formatCount(procedures)} procedures of ${formatCount(patients)} patients with a planned or recorded visit`,
    provenance: [
      { label: 'Question', text: visitsQuestionSentence(question, labelIn(groups)) },
      { label: 'Cohort', text: `${guardedCount(procedures)} procedures with visits in ${groups.length} groups` },
      { label: 'Settings', text: visitsSettings(question) },
      sourceEntry(source),
      ...methods.map((text) => ({ label: 'Method', text })),
    ],
    sections: sectionsOf(analysis).filter(({ blocks }) => blocks.length > 0),
    methods,
    notes: notes.map(asSentence),
  };
}

/** All that is known of one measure. */
const blocksOf = (analysis: VisitsAnalysis, measure: string): readonly Block[] =>
  [...signBlocks(analysis, measure), ...zoneBlocks(analysis, measure), ...gradeBlocks(analysis, measure), ...amountBlocks(analysis, measure)];

/** The measures of a part of the page, one at a time. */
function measuresOf(analysis: VisitsAnalysis, label: string, ...sections: readonly MeasureSection[]): readonly Block[] {
  const options = measures.filter(({ section, name }) => sections.includes(section) && analysis.recorded.includes(name)).map(({ name, label: of }) => ({ label: of, blocks: blocksOf(analysis, name) })).filter(({ blocks }) => blocks.length > 0);
  return options.length === 0 ? [] : [{ kind: 'choice', label, options }];
}

const sectionsOf = (analysis: VisitsAnalysis): readonly VisitsSection[] => [
  { id: 'at-a-glance', heading: 'At a glance', blocks: glanceBlocks(analysis) },
  { id: 'who-came', heading: 'Who came', blocks: whoCame(analysis) },
  { id: 'placement', heading: 'Placement', blocks: measuresOf(analysis, 'Placement', 'placement') },
  { id: 'humerus', heading: 'Around the humeral component', blocks: measuresOf(analysis, 'Humeral signs', 'humerus') },
  { id: 'glenoid', heading: 'Around the glenoid component', blocks: measuresOf(analysis, 'Glenoid signs', 'glenoid') },
  { id: 'tendon', heading: 'The subscapularis repair', blocks: measuresOf(analysis, 'Tendon', 'tendon', 'clinical') },
  { id: 'motion', heading: 'Motion', blocks: measuresOf(analysis, 'Motion', 'motion') },
  { id: 'pain-and-score', heading: 'Pain and score', blocks: measuresOf(analysis, 'Pain and score', 'pain_and_score') },
  { id: 'first-signs', heading: 'When signs first came', blocks: firstSignBlocks(analysis) },
  { id: 'early-warning', heading: 'Signs and later revision', blocks: warningBlocks(analysis) },
  { id: 'two-readers', heading: 'Two readers', blocks: agreementBlocks(analysis) },
];
