import { answered, edit, expect, open, test } from './workbench';

// How do pegged and keeled all-polyethylene glenoid components compare, adjusted for age and sex, out to ten years?
const asked = 'compare=design&class=anatomic_total&group=all_poly_pegged&group=all_poly_keeled&reference=all_poly_pegged&adjust=age&adjust=sex';

test.describe('a surgeon asks how pegged and keeled components compare', () => {
  test('by editing the sentence, and reads words, curves, numbers at risk and ratios', async ({ page }) => {
    await open(page, './?compare=sex');
    await edit(page, 'Class', (d) => d.getByLabel('Anatomic total').check());
    await edit(page, 'What to compare', (d) => d.getByLabel('Design classes').check());
    await edit(page, 'Groups', async (d) => {
      await d.getByLabel(/All-polyethylene pegged/).check();
      await d.getByLabel(/All-polyethylene keeled/).check();
      await d.getByRole('group', { name: 'Reference' }).getByLabel('All-polyethylene pegged').check();
    });
    await edit(page, 'Adjusted for', async (d) => {
      await d.getByLabel('Age (bands)').check();
      await d.getByLabel('Sex').check();
    });
    await answered(page);
    expect(Object.fromEntries([...new URLSearchParams(page.url().split('?')[1])].map(([k]) => [k, new URLSearchParams(page.url().split('?')[1]).getAll(k).sort()])))
      .toEqual(Object.fromEntries([...new URLSearchParams(asked)].map(([k]) => [k, new URLSearchParams(asked).getAll(k).sort()])));

    await expect(page.getByRole('heading', { name: 'In words' })).toBeVisible();
    await expect(page.locator('.in-words')).toContainText(/At 10 years, \d+\.\d% \(95% CI .*\) of “All-polyethylene keeled” and .* of “All-polyethylene pegged” had been revised for any reason, if patients did not die\./);
    await expect(page.locator('.in-words')).toContainText(/djusted for age and sex/);

    const tenYears = page.locator('[data-table="cumulative-percent-revision"] tbody tr').filter({ hasText: '10 years' });
    await expect(tenYears).toHaveCount(2);
    for (const row of await tenYears.all()) {
      const [atRisk, revised, percent, lower, upper] = await row.locator('[data-value]').evaluateAll((cells) => cells.map((cell) => Number(cell.getAttribute('data-value'))));
      expect(atRisk).toBeGreaterThan(50);
      expect(revised).toBeGreaterThan(10);
      expect(lower).toBeGreaterThan(0);
      expect(percent).toBeGreaterThan(lower ?? NaN);
      expect(upper).toBeGreaterThan(percent ?? NaN);
    }
    await expect(page.locator('[data-chart="revision-curves"] [data-line]')).toHaveCount(2);
    await expect(page.locator('[data-table="forest"] tr[data-hr]').first()).toBeVisible();
    await expect(page.locator('[data-table="who-got-what"]')).toContainText('75 years and over');
    await expect(page.getByText('This is not a recall notice')).toBeVisible();
  });

  test('opens on this question, and the link reproduces the screen', async ({ page, context }) => {
    await open(page);
    const words = await page.locator('.in-words').innerText();
    const other = await context.newPage();
    await open(other, `./?${asked}`);
    expect(await other.locator('.in-words').innerText()).toBe(words);
    expect(await other.locator('[data-table="forest"]').innerText()).toBe(await page.locator('[data-table="forest"]').innerText());
  });

  test('goes back and forward through the questions asked', async ({ page }) => {
    await open(page);
    const first = await page.locator('.in-words').textContent();
    await edit(page, 'Patients', (d) => d.getByLabel('Women').check());
    await answered(page);
    await expect(page.locator('.in-words')).not.toHaveText(first ?? '');
    const second = await page.locator('.in-words').textContent();
    await page.goBack();
    await expect(page.locator('.in-words')).toHaveText(first ?? '');
    await expect(page.getByRole('button', { name: 'Patients: women and men of any age' })).toBeVisible();
    await page.goForward();
    await expect(page.locator('.in-words')).toHaveText(second ?? '');
  });

  test('a newer question supersedes an older one', async ({ page }) => {
    await open(page);
    await page.getByRole('button', { name: /^Adjusted for:/ }).click();
    const dialog = page.getByRole('dialog', { name: 'Adjusted for' });
    for (const covariate of ['Indication', 'ASA grade', 'Body mass index', 'Period of surgery']) await dialog.getByLabel(covariate).check();
    await dialog.getByLabel('Body mass index').uncheck();
    await page.keyboard.press('Escape');
    await answered(page);
    await expect(page.locator('[data-table="forest"]')).toContainText('djusted for age, sex, indication, ASA grade and period');
    await expect(page.locator('[data-table="forest"]')).not.toContainText('body mass');
  });
});

test.describe('a question that has no answer says why', () => {
  test('nobody meets it', async ({ page }) => {
    await open(page, './?compare=design&age-from=119');
    await expect(page.locator('.answer')).toContainText('No procedure of the extract meets these conditions.');
    await expect(page.locator('[data-table="who-is-counted"]')).toContainText('Age: 119 and over');
  });

  test('too few are followed', async ({ page }) => {
    await open(page, './?compare=sex&joint=knee&role=knee_femoral&age-to=50');
    await expect(page.locator('.in-words')).toContainText(/Too few are followed/);
  });

  test('there is nothing to compare with', async ({ page }) => {
    await open(page, './?compare=design&class=anatomic_total&group=all_poly_keeled');
    await expect(page.locator('.answer')).toContainText('There is one group only');
    await expect(page.locator('[data-chart="revision-curves"] [data-line]')).toHaveCount(1);
  });

  test('the link is damaged', async ({ page }) => {
    await page.goto('./?compare=design&clas=anatomic_total');
    await expect(page.locator('.problems')).toContainText('“clas” is not a parameter of the address.');
    await page.getByRole('link', { name: 'Ask the opening question' }).click();
    await answered(page);
  });
});

test('the curves can be seen closer, in days, and without bands, and the address keeps that too', async ({ page }) => {
  await open(page);
  await page.getByRole('radio', { name: '2 years' }).click();
  await page.getByRole('radio', { name: 'in days' }).click();
  await page.getByRole('button', { name: 'Bands', exact: true }).click();
  await answered(page);
  expect(page.url()).toContain('axis=days&span=2&bands=no');
  await expect(page.locator('[data-chart="revision-curves"]')).toContainText('Days since surgery');
  await expect(page.locator('[data-chart="revision-curves"] [data-band]')).toHaveCount(0);
  await page.reload();
  await answered(page);
  await expect(page.locator('[data-chart="revision-curves"]')).toContainText('Days since surgery');
});

test('pointing at the curves reads all groups at one time', async ({ page }) => {
  await open(page);
  const plot = page.locator('.curves .reading-marks rect').first();
  await plot.hover();
  await expect(page.locator('.curves .reading output')).toHaveText('5 years');
  await expect(page.locator('.curves .reading dd')).toHaveCount(2);
  await expect(page.locator('.curves .reading dd').first()).toHaveText(/^\d+\.\d% \(\d+\.\d–\d+\.\d\) · [\d,]+ at risk$/);
});
