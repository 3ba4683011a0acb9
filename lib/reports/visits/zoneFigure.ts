import { policyInForce } from '../../disclosure/policy';
import type { VisitGroup, ZoneMap } from '../../visits/visitsResult';
import { isEstimate } from '../estimate';
import { formatCount, formatPercent } from '../format';
import { isSmall } from '../smallCounts';

/** How often a sign was seen around a component, zone by zone, a drawing per group. Schematic, in our own division. */
export interface ZoneFigure {
  readonly name: string; // names the file
  readonly title: string;
  readonly caption: string;
  readonly structure: 'humerus' | 'glenoid';
  readonly panels: readonly ZonePanel[];
}
export interface ZonePanel {
  readonly label: string;
  readonly position: number;
  readonly read: string; // in how many: `7 read`, or the fewest and the most of the zones
  readonly readStaysInside: boolean;
  readonly zones: readonly DrawnZone[];
}
export interface DrawnZone {
  readonly zone: string;
  readonly label: string;
  readonly text: string; // in the zone
  readonly shade: number; // 0–1; a help for the eye, the number says the same
  readonly staysInside: boolean;
}

export const zoneFigure = (map: ZoneMap, groups: readonly VisitGroup[], visit: string): ZoneFigure => ({
  name: `zones-${map.sign}-${map.window}`,
  title: `${map.label} by zone, ${visit}`,
  caption: `${map.label}, ${visit}. Percent of those in whom the zone was read. A scheme from the front, not to scale; a right shoulder.`,
  structure: map.structure,
  panels: groups.map(({ key, label }, position) => ({
    label, position, ...readOf(map, key),
    zones: map.zones.map(({ zone, label: of, groups: counts }): DrawnZone => {
      const found = counts.find(({ group }) => group === key);
      if (found === undefined || !isEstimate(found.percent)) return { zone, label: of, text: '–', shade: 0, staysInside: false };
      return { zone, label: of, text: formatPercent(found.percent.value), shade: found.percent.value / 100, staysInside: isSmall(found.present) || isSmall(found.assessed - found.present) };
    }),
  })),
});

function readOf({ zones }: ZoneMap, key: string): Pick<ZonePanel, 'read' | 'readStaysInside'> {
  const read = zones.map(({ groups }) => groups.find(({ group }) => group === key)?.assessed ?? 0), least = Math.min(...read), most = Math.max(...read);
  return {
    read: `${least === most ? formatCount(most) : `${formatCount(least)}–${formatCount(most)}`} read`,
    readStaysInside: isSmall(least) || isSmall(most) || policyInForce().rounding > 1, // not rounded
  };
}
