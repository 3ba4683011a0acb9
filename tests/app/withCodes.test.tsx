import { renderToStaticMarkup } from 'react-dom/server';
import { describe, expect, it } from 'vitest';
import { withCodes } from '@/app/parts/withCodes';

const html = (text: string): string => renderToStaticMarkup(<>{withCodes(text)}</>);

describe('codes of models in text', () => {
  it.each([
    ['G-FLU-02', '<span class="unbroken">G-FLU-02</span>'],
    ['Glenoid component G-FLU-02, with a fluted peg', 'Glenoid component <span class="unbroken">G-FLU-02,</span> with a fluted peg'],
    ['s-peg-4', '<span class="unbroken">s-peg-4</span>'],
    ['AB-CD', '<span class="unbroken">AB-CD</span>'],
  ])('does not break “%s”', (text, expected) => { expect(html(text)).toBe(expected); });

  it.each(['Metal-backed with polyethylene insert', 'a time-dependent covariate', '4.1–5.9', '1 - 2', '-', `G-${'1'.repeat(40)}`])('leaves “%s” as it is', (text) => { expect(html(text)).toBe(text); });
});
