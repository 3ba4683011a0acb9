import { seriousViolations } from './axe';
import { expect, open, test } from './workbench';

// Within the content: a page in the making stands for a moment in a hidden place beside it too.
const ready: Readonly<Record<string, string>> = {
  './': '.answer[data-pending="false"]', './unit/': '.answer[data-pending="false"]', './monitoring/': '.answer[data-pending="false"]', './screening/?against=design&model=H-SHO-02': '.explained[data-pending="false"]',
  './review/': '.review[data-settled]', './visits/': '.answer[data-pending="false"]', './plan/': '.plan[data-settled]', './data/': '[data-loaded]', './data/import/': '.import[data-ready="true"]', './data/quality/': '.quality[data-pending="false"]', './dictionary/': '.dictionary', './method/': '.method',
};

for (const colorScheme of ['light', 'dark'] as const) {
  test.describe(`in ${colorScheme} colours`, () => {
    test.use({ colorScheme, contextOptions: { reducedMotion: 'reduce' } }); // colours are judged as they come to stand
    for (const [address, settled] of Object.entries(ready)) {
      test(`${address} has no serious violation of the accessibility guidelines`, async ({ page }) => {
        await page.goto(address);
        await expect(page.locator('#content').locator(settled)).toBeVisible({ timeout: 60_000 });
        expect(await seriousViolations(page)).toEqual([]);
      });
    }

    test('an open part of the question has none either', async ({ page }) => {
      await open(page);
      await page.getByRole('button', { name: 'More settings' }).click();
      await page.getByRole('button', { name: /^Implants:/ }).click();
      await expect(page.getByRole('dialog', { name: 'Implants' })).toContainText('Model');
      expect(await seriousViolations(page)).toEqual([]);
    });
  });
}

test('with the keyboard alone a question is changed and the curves are read', async ({ page }) => {
  await open(page);
  await page.keyboard.press('Tab');
  await expect(page.getByRole('link', { name: 'Skip to the content' })).toBeFocused();
  await page.keyboard.press('Enter');
  await page.keyboard.press('Tab');
  await expect(page.getByRole('button', { name: /^Class:/ })).toBeFocused();
  for (let i = 0; i < 3; ++i) await page.keyboard.press('Tab');
  await expect(page.getByRole('button', { name: /^Patients:/ })).toBeFocused();
  await page.keyboard.press('Enter');
  await expect(page.getByRole('dialog', { name: 'Patients' })).toBeVisible();
  await page.keyboard.press('Tab');
  await page.keyboard.press('Space');
  await page.keyboard.press('Escape');
  await expect(page.getByRole('button', { name: 'Patients: women of any age' })).toBeFocused();
  await expect(page.locator('.answer[data-pending="false"]')).toBeVisible();
  const slider = page.locator('.curves').getByRole('slider', { name: 'Read all groups at' });
  await slider.focus();
  await page.keyboard.press('Home');
  await page.keyboard.press('ArrowRight');
  await expect(slider).toHaveAttribute('aria-valuetext', /^1 month: All-polyethylene pegged \d.*% \(.*\), [\d,]+ at risk; All-polyethylene keeled /);
});

for (const { name, viewport } of [{ name: 'on a phone', viewport: { width: 390, height: 800 } }, { name: 'at 200% on a small laptop', viewport: { width: 640, height: 400 } }]) {
  test.describe(name, () => {
    test.use({ viewport });
    for (const [address, settled] of Object.entries(ready)) {
      test(`${address} is read without scrolling sideways`, async ({ page }) => {
        await page.goto(address);
        await expect(page.locator('#content').locator(settled)).toBeVisible({ timeout: 60_000 });
        expect(await page.evaluate(() => document.documentElement.scrollWidth <= document.documentElement.clientWidth)).toBe(true);
      });
    }
  });
}
