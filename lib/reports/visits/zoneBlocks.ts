import { windowOf } from '../../contract/visitWindows';
import type { VisitsAnalysis, ZoneMap } from '../../visits/visitsResult';
import type { Block } from '../blocks';
import { formatPercent } from '../format';
import { protectSmallCounts } from '../smallCounts';
import { text, type ReportTable } from '../table';
import { count, estimateCells, number, words } from '../tableCells';
import { labelIn, positionIn } from './visitLabels';
import { zoneFigure } from './zoneFigure';

/** A sign zone by zone, the latest visit first. Nothing where it is not read by zone. */
export const zoneBlocks = (analysis: VisitsAnalysis, sign: string): readonly Block[] => analysis.zones.filter((map) => map.sign === sign).reverse().map((map) => ({
  kind: 'zones', figure: zoneFigure(map, analysis.groups, windowOf(map.window).label.toLowerCase()), table: protectSmallCounts(zonesTable(analysis, map)),
}));

const zonesTable = ({ groups }: VisitsAnalysis, { sign, label, window, zones }: ZoneMap): ReportTable => ({
  name: `zones-${sign}-${window}`, title: `${label} by zone, ${windowOf(window).label.toLowerCase()}`, method: 'Percent of those in whom the zone was read; Wilson limits. Zones of one shoulder are not independent.',
  columns: [words('Zone'), words('Group'), number('Read'), number('With the sign'), number('%'), number('Lower'), number('Upper')],
  rows: zones.flatMap((zone) => zone.groups.map((one) => ({
    block: zone.zone, group: positionIn(groups)(one.group),
    cells: [text(zone.label), text(labelIn(groups)(one.group)), count(one.assessed), count(one.present), ...estimateCells(one.percent, formatPercent, [one.present, one.assessed - one.present])],
  }))),
  relations: zones.flatMap((zone) => zone.groups).map(({ assessed, present }, row) => ({ whole: [row, 2], parts: [[row, 3]], rest: assessed - present })),
});
