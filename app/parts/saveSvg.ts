import type { Provenance } from '../../lib/reports/csv';
import { saveFile } from './saveFile';

const lineHeight = 16, space = 8;

/** The colours that the drawing takes from the page, written out. */
function inPlainColours(text: string, from: Element): string {
  const style = getComputedStyle(from);
  return text.replaceAll(/var\((--[\w-]+)\)/g, (_, name: string) => style.getPropertyValue(name).trim());
}

/** Saves the drawing inside `paper` with lines under it and a description of where it came from. */
export function saveSvg(name: string, paper: Element | null, lines: readonly string[], provenance: Provenance): void {
  const drawn = paper?.querySelector('svg');
  if (paper === null || drawn === null || drawn === undefined) return;
  const svg = drawn.cloneNode(true) as SVGSVGElement;
  const [width, height] = [svg.width.baseVal.value, svg.height.baseVal.value];
  const whole = height + space + lines.length * lineHeight + space;
  const make = (tag: string, text: string, attributes: Record<string, string> = {}) => {
    const element = document.createElementNS('http://www.w3.org/2000/svg', tag);
    element.textContent = text;
    for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
    return element;
  };
  for (const [key, value] of Object.entries({ height: String(whole), viewBox: `0 0 ${width} ${whole}`, 'font-family': 'sans-serif', 'font-size': '12' })) svg.setAttribute(key, value);
  svg.removeAttribute('style');
  svg.prepend(
    make('title', lines[0] ?? name), make('desc', provenance.map(({ label, text }) => `${label}: ${text}`).join('\n')),
    make('rect', '', { width: String(width), height: String(whole), fill: 'var(--paper)' }),
  );
  lines.forEach((line, i) => { svg.append(make('text', line, { x: '4', y: String(height + space + (i + 0.75) * lineHeight), fill: 'var(--ink-soft)', 'font-size': '11' })); });
  const text = inPlainColours(new XMLSerializer().serializeToString(svg), paper);
  saveFile(name, new Blob([text], { type: 'image/svg+xml' }));
}
