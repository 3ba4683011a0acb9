import { site } from '../../../lib/site/paths';
import { serve } from '../../../lib/site/serve';
import { openChromium } from '../browser';
import { summary } from './timing';

// Opening the site with the sample registry: from the address to the frame with the curves, with a new profile and again with what it has kept.
const runs = Number(process.argv[2] ?? 3), cold: number[] = [], warm: number[] = [];
const { address, server } = await serve(site, Number(process.env['WORKBENCH_PORT'] ?? 4190));
for (let run = 0; run < runs; ++run) {
  const { browser, close } = await openChromium();
  for (const took of [cold, warm]) {
    const page = await browser.newPage();
    await page.goto(address);
    await page.locator('[data-chart="revision-curves"] [data-line]').first().waitFor({ timeout: 120_000 });
    took.push(await page.evaluate(() => new Promise<number>((resolve) => { requestAnimationFrame(() => { setTimeout(() => { resolve(performance.now()); }); }); })));
    await page.close();
  }
  await close();
}
server.close();
process.stdout.write(JSON.stringify({ cold: summary(cold), warm: summary(warm) }));
