import { site } from '../../../lib/site/paths';
import { serve } from '../../../lib/site/serve';
import { openChromium } from '../browser';
import { summary } from './timing';

// Opening the site with the sample registry: from the address to the frame with the curves and to that with the whole answer, with a new profile and again with what it has kept.
const runs = Number(process.argv[2] ?? 3), cold = { curves: [] as number[], whole: [] as number[] }, warm = { curves: [] as number[], whole: [] as number[] };
const ready = { curves: '[data-chart="revision-curves"] [data-line]', whole: '.answer[data-pending="false"]' } as const;
const { address, server } = await serve(site, Number(process.env['WORKBENCH_PORT'] ?? 4190));
for (let run = 0; run < runs; ++run) {
  const { browser, close } = await openChromium();
  for (const took of [cold, warm]) {
    const page = await browser.newPage();
    await page.goto(address);
    for (const part of ['curves', 'whole'] as const) {
      await page.locator(ready[part]).first().waitFor({ timeout: 120_000 });
      took[part].push(await page.evaluate(() => new Promise<number>((resolve) => { requestAnimationFrame(() => { setTimeout(() => { resolve(performance.now()); }); }); })));
    }
    await page.close();
  }
  await close();
}
server.close();
process.stdout.write(JSON.stringify({ cold: summary(cold.curves), warm: summary(warm.curves), wholeCold: summary(cold.whole), wholeWarm: summary(warm.whole) }));
