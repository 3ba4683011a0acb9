import type { EarlyWarning, SignRatio, VisitsAnalysis } from '../../visits/visitsResult';
import { caution, type Block } from '../blocks';
import { forest, forestRow, type Place } from '../forest';
import { formatList, formatP, formatRatio, formatSpan } from '../format';
import { asSentence, capital } from '../phrases';
import { inSentence } from '../questionWords';
import { guardedCount, protectSmallCounts, smallestCount } from '../smallCounts';
import { text, type Cell, type ReportTable } from '../table';
import { count, derived, estimateCells, number, words } from '../tableCells';
import { isEstimate } from '../estimate';

/** Whether signs go with later revision: from landmarks on, and as something that changes on the day it is seen. */
export function warningBlocks({ earlyWarnings }: VisitsAnalysis): readonly Block[] {
  if (earlyWarnings.length === 0) return [];
  const figure = forest((place) => earlyWarnings.map((warning) => ({
    key: warning.measure, heading: `${warning.label}: ${warning.present}`, demoted: false,
    note: warning.adjustedFor.length === 0 ? null : `Adjusted for ${warning.adjustedFor.map(inSentence).join(', ')}`,
    rows: linesOf(warning).map((line) => rowOf(warning, line, place)),
  })), { row: 'From when', counts: 'Revised, with the sign', ratio: 'Hazard ratio' });
  return [
    { kind: 'forest', title: 'Later revision in those with the sign against those without', figure, table: protectSmallCounts(warningsTable(earlyWarnings)) },
    caution('Many ratios stand here, and some stand out by chance alone. Where few with the sign, or few without, were revised, neither ratio nor limits can be relied on.'),
    caution('A sign is counted from the day it was seen, never from surgery: to compare those who ever had it with those who never had would give the first group the time they lived to be seen (immortal time; Suissa 2008).'),
    caution('A sign that goes with later revision may lead to it, or may be why the surgeon looked harder. Neither says that a shoulder with the sign must be revised.'),
  ];
}

interface Line extends SignRatio { readonly key: string; readonly label: string; readonly detail: string }

const linesOf = ({ landmarks, changing }: EarlyWarning): readonly Line[] => [
  ...landmarks.map((landmark): Line => ({
    ...landmark, key: `${landmark.years}`, label: `From ${formatSpan(landmark.years)} on`, detail: `signs seen by then; without ${guardedCount(landmark.notAssessed)} of ${guardedCount(landmark.atRisk)}, not yet assessed`,
  })),
  { ...changing, key: 'changing', label: 'From the day it is seen', detail: 'as a covariate that changes with time' },
];

const fewest = 5; // revisions, with the sign and without, on which a ratio may rest; common practice, no source

/** Says of a ratio that it rests on a handful; never closer than counts are told. */
function restsOnFew({ estimate, events: [without, having] }: Line): string | null {
  const bound = Math.max(fewest, smallestCount()), sides = [...(having < bound ? ['with the sign'] : []), ...(without < bound ? ['without it'] : [])];
  return !isEstimate(estimate) || sides.length === 0 ? null : `rests on fewer than ${bound} revised ${formatList(sides)}`;
}

const rowOf = ({ measure }: EarlyWarning, line: Line, place: Place) => {
  const { key, label, detail, estimate, p, procedures, events } = line, few = restsOnFew(line);
  return forestRow([], { term: measure, level: key, label, against: 'without the sign', procedures: procedures[1], events: events[1], estimate, p }, place, {
    detail: few === null ? detail : `${capital(few)}; ${detail}`, basis: [...events, ...procedures],
  });
};

const warningsTable = (warnings: readonly EarlyWarning[]): ReportTable => ({
  name: 'early-warnings', title: 'Signs and later revision', method: 'Cox model from the landmark on among those unrevised and assessed by then; and with the sign as a time-dependent covariate. Robust limits.',
  columns: [
    words('Sign'), words('From when'), number('Without'), number('Revised, without'), number('With'), number('Revised, with'), number('Hazard ratio'), number('Lower'), number('Upper'), number('p'), words('Notes'),
  ],
  rows: warnings.flatMap((warning) => linesOf(warning).map((line) => ({ block: warning.measure, cells: cellsOf(warning, line) }))),
});

function cellsOf({ label: sign, present }: EarlyWarning, line: Line): readonly Cell[] {
  const { label, procedures, events, estimate, p, notes } = line, few = restsOnFew(line);
  return [
    text(capital(`${sign}: ${present}`)), text(label), count(procedures[0]), count(events[0]), count(procedures[1]), count(events[1]), ...estimateCells(estimate, formatRatio, [...events]),
    isEstimate(estimate) ? derived(p, formatP, [...events]) : text(''), text([...(few === null ? [] : [few]), ...notes].map(asSentence).join(' ')),
  ];
}
