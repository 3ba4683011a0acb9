import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';

// WCAG 2.2, success criteria 1.4.3 (text, 4.5:1) and 1.4.11 (graphics, 3:1), with its definitions of relative luminance and contrast ratio.
const luminance = (hex: string): number => {
  const [r, g, b] = [1, 3, 5].map((i) => Number.parseInt(hex.slice(i, i + 2), 16) / 255).map((c) => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4));
  return 0.2126 * r! + 0.7152 * g! + 0.0722 * b!;
};
const contrast = (a: string, b: string): number => {
  const [dark, light] = [luminance(a), luminance(b)].sort((x, y) => x - y);
  return (light! + 0.05) / (dark! + 0.05);
};

const css = readFileSync('app/globals.css', 'utf8');
const coloursOf = (block: RegExp): Record<string, string> =>
  Object.fromEntries([...(block.exec(css)?.[1] ?? '').matchAll(/(--[\w-]+): (#[0-9a-f]{6});/g)].map(([, name, value]) => [name!, value!]));
const light = coloursOf(/:root, \.paper \{([^}]*)\}/);
const dark = coloursOf(/prefers-color-scheme: dark\) \{\s*:root \{([^}]*)\}/);

describe.each([['light', light], ['dark', dark]])('%s colours', (_, colours) => {
  it('are the eight of the palette', () => {
    expect(Object.keys(colours).filter((name) => name.startsWith('--series-'))).toHaveLength(8);
  });
  it.each(Object.entries(colours).filter(([name]) => name.startsWith('--series-')))('%s stands out against the page', (_name, colour) => {
    expect(contrast(colour, colours['--paper']!)).toBeGreaterThanOrEqual(3);
  });
  it.each(['--ink', '--ink-soft', '--accent', '--warn'])('%s can be read on the page and on raised grounds', (name) => {
    for (const ground of ['--paper', '--raised']) expect(contrast(colours[name]!, colours[ground]!)).toBeGreaterThanOrEqual(4.5);
  });
});

it('agrees with the contrast of black on white in print', () => {
  expect(contrast('#000000', '#ffffff')).toBe(21); // WCAG 2.2, definition of contrast ratio: from 1:1 to 21:1
});
