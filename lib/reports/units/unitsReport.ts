import type { NoUnits, UnitsAnalysis } from '../../screening/units/unitsResult';
import type { UnitsQuestion } from '../../contract/unitsQuestion';
import { paragraph, type Block } from '../blocks';
import { attritionTable } from '../comparisonTables';
import type { Provenance } from '../csv';
import { asSentence } from '../phrases';
import { sourceLine } from '../provenance';
import { guardedCount, protectSmallCounts } from '../smallCounts';
import type { ProtectedTable } from '../table';
import { funnelBlocks } from './funnelBlocks';
import { allRests, unitsProvenance } from './unitsProvenance';
import { unitNouns, unitsSettings } from './unitsQuestionWords';
import { unitsWords } from './unitsWords';
import type { UnitsView } from './unitsView';

/** A part of a page of results, in its place. */
export interface UnitsSection { readonly id: string; readonly heading: string; readonly blocks: readonly Block[] }

/** All units of a kind, ready to be drawn. */
export interface UnitsReport {
  readonly status: 'ok';
  readonly about: 'all';
  readonly question: UnitsQuestion;
  readonly source: string;
  readonly settings: string;
  readonly provenance: Provenance;
  readonly sections: readonly UnitsSection[];
  readonly attrition: ProtectedTable;
  readonly basis: string; // what the numbers rest on
  readonly methods: readonly string[];
  readonly notes: readonly string[];
}

export interface NoUnitsReport { readonly status: 'empty'; readonly reason: string; readonly attrition: ProtectedTable }

export const noUnitsReport = ({ reason, attrition }: NoUnits): NoUnitsReport => ({ status: 'empty', reason, attrition: protectSmallCounts(attritionTable(attrition)) });

/** Where one of several covariates is not recorded, its procedures are left out. */
export const leftOutWords = (leftOut: UnitsAnalysis['leftOut']): readonly string[] => {
  const missing = leftOut.filter((l) => l.missing > 0);
  return missing.length === 0 ? [] : [`Only procedures with every covariate recorded are counted. Not recorded: ${missing.map((l) => `${l.covariate} in ${guardedCount(l.missing)}`).join(', ')}.`];
};

export function unitsReport(all: UnitsAnalysis, view: UnitsView): UnitsReport {
  const { question, source, methods, notes, units, procedures, observed } = all, { several } = unitNouns[question.kind];
  const rests = allRests(procedures, observed, units.length, question.kind);
  return {
    status: 'ok', about: 'all', question,
    source: sourceLine(source),
    settings: unitsSettings(question),
    provenance: unitsProvenance(all, rests, view),
    sections: [
      { id: 'in-words', heading: 'In words', blocks: paragraph(unitsWords(all)) },
      { id: 'funnel', heading: `All ${several} in a funnel`, blocks: funnelBlocks(all, view) },
    ],
    attrition: protectSmallCounts(attritionTable(all.attrition)),
    basis: `From ${rests}`,
    methods,
    notes: [...leftOutWords(all.leftOut), ...notes.map(asSentence)],
  };
}
