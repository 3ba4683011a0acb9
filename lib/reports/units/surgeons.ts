import type { UnitAnalysis } from '../../screening/units/unitsResult';
import { formatConfidence, formatExpected, formatRatio } from '../format';
import { protectSmallCounts } from '../smallCounts';
import { text, type ProtectedTable, type Row } from '../table';
import { count, derived, number, words } from '../tableCells';
import { statusWords } from './funnelBlocks';

/** The hospital's own surgeons, for its own eyes: their identifiers stay on the page. */
export const surgeonsTable = ({ surgeons, question }: UnitAnalysis): ProtectedTable => protectSmallCounts({
  name: 'surgeons',
  title: 'Surgeons of the hospital',
  method: `Procedures in this hospital as surgeon of record, against the same reference as the hospital. Exact Poisson limits at ${formatConfidence(question.confidence)}. In the order of identifiers, which is no ranking; ratios are not comparable with each other.`,
  blocksAddUp: true,
  columns: [words('Surgeon'), number('Procedures'), number('Observed'), number('Expected'), number('Ratio'), number('Lower'), number('Upper'), words('By the rule')],
  rows: surgeons.map(({ id, procedures, standardised: s, status }): Row => {
    const basis = s.status === 'ok' ? [s.observed] : [];
    return {
      block: 'surgeons',
      cells: [
        { text: id, outside: 'a surgeon' }, count(procedures),
        ...(s.status === 'ok'
          ? [count(s.observed), derived(s.expected, formatExpected, [procedures]), derived(s.ratio, formatRatio, basis), derived(s.lower, formatRatio, basis), derived(s.upper, formatRatio, basis)]
          : [text(''), text(''), { text: s.reason, basis: [procedures] }, text(''), text('')]),
        { text: statusWords[status], basis },
      ],
    };
  }),
});
