import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Page } from '@playwright/test';
import type { AxeResults } from 'axe-core';

const axeSource = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

/** Violations of WCAG 2.2 A and AA, and of good practice, that axe-core calls serious or critical. */
export async function seriousViolations(page: Page): Promise<readonly string[]> {
  await page.evaluate(axeSource); // by the browser's own means: the page's policy lets no script in
  const { violations } = await page.evaluate<AxeResults>('axe.run(document, { resultTypes: ["violations"] })');
  return violations.filter(({ impact }) => impact === 'serious' || impact === 'critical')
    .map(({ id, nodes }) => `${id}: ${nodes.map(({ html, failureSummary }) => `${html.slice(0, 160)} ${failureSummary ?? ''}`).join(' | ')}`);
}
