import type { StudyPlan } from '../../contract/studyPlan';
import { visitWindows } from '../../contract/visitWindows';
import type { FrozenPlan } from '../../planning/frozenPlan';
import type { Block } from '../blocks';
import { paragraph } from '../blocks';
import { formatDate, formatList } from '../format';
import { planMethod } from './planWords';
import { planReport } from './planReport';

/** A plan for paper. */
export interface ProtocolSheet {
  readonly title: string;
  readonly facts: readonly { readonly label: string; readonly text: string }[];
  readonly parts: readonly { readonly heading: string; readonly blocks: readonly Block[] }[];
  readonly signatures: readonly string[];
}

const say = (...sentences: readonly string[]): readonly Block[] => sentences.filter((sentence) => sentence !== '').flatMap((sentence) => paragraph([{ text: sentence, staysInside: false }]));

/** @param frozen the same plan, where it was frozen */
export function protocolSheet(plan: StudyPlan, frozen: FrozenPlan | null): ProtocolSheet {
  const { arms, assignment, visits, measures } = plan;
  const windows = visitWindows.filter(({ code }) => visits.includes(code)).map(({ label, day, from, to }) => (from < 0 ? label : `${label} (day ${day}; ${from}–${to})`));
  return {
    title: plan.title,
    facts: [
      { label: 'Arms', text: formatList(arms.map(({ label, weight }) => (arms.every((arm) => arm.weight === weight) ? label : `${label} (weight ${weight})`))) },
      { label: 'Implant decided by', text: assignment === 'random' ? 'chance (randomised)' : 'patient and surgeon (observed)' },
      ...(frozen === null ? [{ label: 'Standing', text: 'a draft: it may still be changed' }] : [
        { label: 'Frozen', text: `${formatDate(frozen.frozenAt.slice(0, 10))}, ${frozen.frozenAt.slice(11, 16)} UTC by the clock of the machine` },
        { label: 'Data loaded then', text: frozen.loaded === null ? 'none' : `${frozen.loaded.registry}, version ${frozen.loaded.version}, to ${formatDate(frozen.loaded.closingDate)}` },
        { label: 'Hash of the plan (SHA-256)', text: frozen.hash },
      ]),
    ],
    parts: [
      { heading: 'Question', blocks: say(plan.question === '' ? 'Not written yet.' : plan.question) },
      { heading: 'Primary end point and numbers', blocks: [...say(plan.endPointWords), ...planReport(plan).blocks, ...say(`How the numbers were made: ${planMethod(plan)}`)] },
      { heading: 'Visits and measures', blocks: say(
        windows.length === 0 ? 'No visits are planned.' : `Visits: ${formatList(windows)}. Days since the procedure, with the first and last that count.`,
        measures.length === 0 ? '' : `Measured: ${formatList(measures)}.`,
        'A missed visit is recorded as missed; a value that was not taken is left empty. Who did not come is counted by arm, and the results are shown again as if all of them had done well and as if none had.') },
      { heading: 'Secondary end points', blocks: say(plan.secondary === '' ? 'None.' : plan.secondary) },
      { heading: 'Analysis', blocks: say(...(plan.analysis === '' ? ['Not written yet.'] : plan.analysis.split(/\n+/))) },
      { heading: 'Before it begins', blocks: say('Ethics review, data protection, registration of the study, device regulation and the judgement of licensed clinicians come first. This sheet replaces none of them.') },
    ],
    signatures: ['Principal investigator', 'Statistician'],
  };
}
