import { attrition } from '../analysis/attrition';
import { chooseGroups } from '../analysis/groups';
import { stepOf, type AnalysisOptions } from '../analysis/step';
import { comparedConditions, comparisonFactor } from '../cohort/comparison';
import { cohortConditions } from '../cohort/conditions';
import { codings } from '../cohort/covariate';
import { groupSizesQuery, hasVisits, instrumentsQuery } from '../cohort/visits';
import { measures, type Measure } from '../contract/measures';
import { revisionQuestion, type VisitsQuestion } from '../contract/visitsQuestion';
import type { LoadedExtract } from '../engine/loadedExtract';
import { agreement } from './agreement';
import { amountsAtVisits } from './amounts';
import { allWindows, type AskedVisits } from './askedVisits';
import { earlyWarnings } from './earlyWarnings';
import { firstSigns } from './firstSigns';
import { gradesAtVisits } from './grades';
import { repeatedMeasures } from './repeated';
import { signsAtVisits } from './signs';
import { visitCounts } from './visitCounts';
import { visitData, type VisitData } from './visitData';
import { visitGroups } from './visitGroups';
import { visitCautions, visitMethods } from './words';
import { zoneMaps } from './zoneMaps';
import type { NoVisits, VisitsAnalysis } from './visitsResult';

/** Answers a question about follow-up visits from an extract. Throws the signal's reason when aborted. */
export async function analyseVisits({ database, source }: LoadedExtract, question: VisitsQuestion, options: AnalysisOptions = {}): Promise<VisitsAnalysis | NoVisits> {
  const step = stepOf(options), aboutRevision = revisionQuestion(question), factor = comparisonFactor(aboutRevision);
  const inCohort = cohortConditions(question.cohort, question.horizonYears), visited = [...inCohort, hasVisits];
  await step('Finding the groups', 0);
  const { groups, reference, notes } = await chooseGroups(database, visited, factor, aboutRevision);
  if (groups.length === 0) {
    const steps = await attrition(database, visited), last = steps.at(-1)!, beforeVisits = steps.at(-2)!;
    const reason = beforeVisits.remaining === 0 ? 'No procedure of the extract meets these conditions.'
      : last.remaining === 0 ? 'The extract has no follow-up visit of any procedure of the cohort.' : `No procedure of the cohort is in a group to compare. ${notes.join(' ')}`.trim();
    return { status: 'empty', reason, attrition: steps };
  }
  const conditions = [...visited, ...comparedConditions(factor, groups)];
  await step('Reading the visits', 0.1);
  const adjustments = [...new Set(question.adjust)].map((covariate) => ({ covariate, coding: codings[covariate] }));
  const data = await visitData(database, conditions, factor, groups, adjustments.map((a) => a.coding), measures, question);
  const recorded = measures.filter(({ name }) => data.visits.values.get(name)!.some((v) => !Number.isNaN(v)));
  const instruments = await database.query(instrumentsQuery(conditions)), visitsOf = instruments.numbers('visits');
  const used = instruments.texts('instrument').map((code, i) => ({ code, visits: visitsOf[i]! }));
  const comparable = (name: string): boolean => name !== 'score_total' || question.instrument !== null || used.length < 2;
  const asked: AskedVisits = {
    question, groups, adjustments, data,
    reference: groups.findIndex((g) => g.key === reference),
    windows: allWindows.filter(({ code, index }) => (question.windows.length === 0 || question.windows.includes(code)) && data.visits.window.includes(index)),
    measures: recorded.filter(({ name }) => (question.measures.length === 0 || question.measures.includes(name)) && comparable(name)),
  };
  const steps = await attrition(database, conditions);
  const everyone = await database.query(groupSizesQuery([...inCohort, ...comparedConditions(factor, groups)], factor));
  const ofGroups = visitGroups(asked, everyone.numbers('code'), everyone.numbers('procedures'));
  await step('Counting signs', 0.2);
  const signs = signsAtVisits(asked), zones = await zoneMaps(database, conditions, factor, asked);
  await step('Comparing grades', 0.35);
  const grades = gradesAtVisits(asked);
  await step('Comparing motion, pain and scores', 0.5);
  const amounts = amountsAtVisits(asked);
  await step('Taking all visits together', 0.6);
  const repeated = repeatedMeasures(asked);
  await step('Estimating the time to a first sign', 0.8);
  const first = firstSigns(asked);
  await step('Relating signs to later revision', 0.9);
  return {
    status: 'ok',
    question, source,
    attrition: steps,
    groups: ofGroups,
    reference,
    windows: asked.windows.map(({ code }) => code),
    recorded: recorded.map(({ name }) => name),
    instruments: used,
    visits: visitCounts(asked, ofGroups.map(({ procedures }) => procedures)),
    signs, zones, grades, amounts, repeated,
    firstSigns: first,
    earlyWarnings: earlyWarnings(asked),
    agreement: agreement(asked),
    methods: visitMethods(question),
    notes: [...notes, ...notesOf(question, recorded, data, used)],
    cautions: visitCautions,
  };
}

function notesOf(question: VisitsQuestion, recorded: readonly Measure[], { afterEnd }: VisitData, instruments: VisitsAnalysis['instruments']): readonly string[] {
  const missing = question.measures.filter((name) => !recorded.some((m) => m.name === name));
  const mixed = question.instrument === null && instruments.length > 1 && (question.measures.length === 0 || question.measures.includes('score_total'));
  return [
    ...(afterEnd > 0 ? [`${afterEnd} visits are later than the end of the implant’s follow-up and are not counted.`] : []),
    ...(mixed ? [`Score totals are of ${instruments.length} instruments (or not said of which) and cannot be compared: none is shown until the question names one.`] : []),
    ...missing.map((name) => `${measures.find((m) => m.name === name)!.label} is not recorded in any visit of the cohort.`),
    ...(question.importantDifference !== null && question.instrument === null && question.importantDifference.measure === 'score_total'
      ? ['The important difference is held against score totals whatever their instrument: name the instrument as the registry codes it.'] : []),
  ];
}
