import { answered, expect, test } from './workbench';

test('the site opens with the beginning of an answer before the engine is there, and the engine comes to the same', async ({ page }) => {
  let letGo = (): void => undefined;
  const held = new Promise<void>((resolve) => { letGo = resolve; });
  await page.route('**/duckdb/*.wasm', async (route) => {
    await held;
    await route.continue();
  });
  await page.goto('./');
  await expect(page.locator('[data-chart="revision-curves"] [data-line]')).toHaveCount(2);
  await expect(page.locator('.answer')).toHaveAttribute('data-pending', 'true');
  await expect(page.getByText('The answer in words is being worked out.')).toBeVisible();
  const numbers = () => page.locator('[data-table="cumulative-percent-revision"], [data-table="revision-rates"]').evaluateAll((tables) => tables.map((table) => table.textContent));
  const lines = () => page.locator('[data-chart="revision-curves"] [data-line]').evaluateAll((all) => all.map((line) => line.getAttribute('d')));
  const begun = [await numbers(), await lines()];
  letGo();
  await answered(page);
  expect([await numbers(), await lines()]).toEqual(begun);
});

test('another question, view or registry is not shown what was kept of the opening one', async ({ page }) => {
  await page.route('**/duckdb/*.wasm', () => new Promise<void>(() => undefined)); // never answered
  await page.goto('./?compare=sex');
  await expect(page.locator('.progress-line')).toBeVisible();
  await expect(page.locator('.answer')).toBeHidden();
  await page.goto('./');
  await expect(page.locator('.answer')).toBeVisible();
  await page.getByRole('radio', { name: 'in days' }).click();
  await expect(page.locator('.answer')).toBeHidden();
});

test('where the engine can’t be had, nothing is left on the page that seems to be of a registry', async ({ page, watch }) => {
  await page.route('**/duckdb/*.wasm', (route) => route.abort());
  await page.goto('./');
  await expect(page.locator('.problems')).toContainText('No registry is loaded');
  await expect(page.locator('.answer')).toBeHidden();
  expect(watch.offences.splice(0)).not.toEqual([]); // the browser says that the request failed
});
