import type { Provenance } from '../../lib/reports/csv';
import { saveFile } from './saveFile';

/** One entry of what tells the lines or areas of a drawing apart, where the drawing does not say it itself. */
export interface LegendEntry { readonly label: string; readonly colour: string; readonly dash?: string; readonly opacity?: number }

export interface Drawn {
  readonly name: string; // of the file
  readonly paper: Element | null; // holds the drawings, each with a title where it stands in an element that has `data-title`
  readonly legend?: readonly LegendEntry[];
  readonly lines: readonly string[]; // under the drawings; the first names them
  readonly provenance: Provenance;
}

const lineHeight = 16, titleHeight = 24, space = 8;

/** The colours that the drawing takes from the page, written out. */
function inPlainColours(text: string, from: Element): string {
  const style = getComputedStyle(from);
  return text.replaceAll(/var\((--[\w-]+)\)/g, (_, name: string) => style.getPropertyValue(name).trim());
}

function make(tag: string, attributes: Record<string, string | number> = {}, text = ''): SVGElement {
  const element = document.createElementNS('http://www.w3.org/2000/svg', tag);
  element.textContent = text;
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, String(value));
  return element;
}

const legendEntry = ({ label, colour, dash = '', opacity = 1 }: LegendEntry, top: number): readonly SVGElement[] => [
  make('line', { x1: 4, x2: 30, y1: top + 8, y2: top + 8, stroke: colour, 'stroke-width': opacity === 1 ? 2.5 : 10, 'stroke-dasharray': dash, 'stroke-opacity': opacity }),
  make('text', { x: 38, y: top + 12, fill: 'var(--ink)' }, label),
];

/** Saves the drawings inside `paper`, one under the other, with lines under them and a description of where they came from. */
export function saveSvg({ name, paper, legend = [], lines, provenance }: Drawn): void {
  const drawings = [...paper?.querySelectorAll<SVGSVGElement>('svg.recharts-surface, svg.drawing') ?? []];
  if (paper === null || drawings.length === 0) return;
  const parts: Element[] = legend.flatMap((entry, i) => legendEntry(entry, i * lineHeight));
  let height = legend.length * lineHeight;
  for (const drawing of drawings) {
    const title = drawing.closest<HTMLElement>('[data-title]')?.dataset['title'];
    if (title !== undefined) parts.push(make('text', { x: 4, y: (height += titleHeight) - 6, fill: 'var(--ink)', 'font-weight': 'bold' }, title));
    const copy = drawing.cloneNode(true) as SVGSVGElement;
    copy.removeAttribute('style');
    copy.setAttribute('y', String(height));
    parts.push(copy);
    height += drawing.height.baseVal.value;
  }
  height += space;
  const width = Math.max(...drawings.map((drawing) => drawing.width.baseVal.value)), whole = height + lines.length * lineHeight + space;
  const svg = make('svg', { xmlns: 'http://www.w3.org/2000/svg', width, height: whole, viewBox: `0 0 ${width} ${whole}`, 'font-family': 'sans-serif', 'font-size': 12 });
  svg.append(
    make('title', {}, lines[0] ?? name), make('desc', {}, provenance.map(({ label, text }) => `${label}: ${text}`).join('\n')),
    make('rect', { width, height: whole, fill: 'var(--paper)' }), ...parts,
    ...lines.map((line, i) => make('text', { x: 4, y: height + (i + 0.75) * lineHeight, fill: 'var(--ink-soft)', 'font-size': 11 }, line)),
  );
  saveFile(name, new Blob([inPlainColours(new XMLSerializer().serializeToString(svg), paper)], { type: 'image/svg+xml' }));
}
