import type { Page } from '@playwright/test';

// Pegged against keeled all-polyethylene glenoid components, adjusted for age and sex, to ten years: what the page shows, at full precision.
export interface Numbers {
  readonly percents: readonly (readonly number[])[]; // a row per time and group: at risk, revised, percent, its limits
  readonly ratios: readonly (readonly number[])[]; // the adjusted one, the unadjusted one, the covariates: ratio and its limits
  readonly p: readonly number[];
}

export async function onThePage(page: Page): Promise<Numbers> {
  const percents = await page.locator('[data-table="cumulative-percent-revision"] tbody tr').evaluateAll((rows) =>
    rows.map((row) => [...row.querySelectorAll<HTMLElement>('[data-value]')].map(({ dataset }) => Number(dataset['value']))));
  const drawn = await page.locator('[data-table="forest"] tr[data-hr]').evaluateAll((rows) =>
    rows.map((row) => ['hr', 'lower', 'upper', 'p'].map((key) => Number((row as HTMLElement).dataset[key]))));
  return { percents, ratios: drawn.map((row) => row.slice(0, 3)), p: drawn.map((row) => row[3]!) };
}
