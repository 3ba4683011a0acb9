import { spawnSync } from 'node:child_process';
import { readdirSync, statSync, writeFileSync } from 'node:fs';
import { availableParallelism, cpus, loadavg, tmpdir, totalmem } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { stripVTControlCharacters } from 'node:util';
import { z } from 'zod';
import { site } from '../../lib/site/paths';
import { serve } from '../../lib/site/serve';
import { filesOf, formats, seed, type Format } from './extractFiles';
import { loadInBrowser, type Measured } from './loading/inBrowser';

// How long a load takes, what it needs and whether the page stays free: npm run build, then npm run bench:loading -- [folder for the files] [sizes …]
const base = process.argv[2] ?? join(tmpdir(), 'bench-loading'), sizes = process.argv.slice(3).map(Number);

const InNode = z.object({ seconds: z.number(), peak: z.number(), procedures: z.number() });
type InNode = z.infer<typeof InNode>;
/** What could not be measured is there as the reason. */
interface Run { readonly size: number; readonly format: Format; readonly bytes: number; readonly load: number; readonly page: Measured | string; readonly node: InNode | string }

const reasonOf = (text: string): string => stripVTControlCharacters(text).replace(/\s+/g, ' ').replaceAll('|', '/').trim().slice(0, 160);
function loadInNode(folder: string): InNode | string {
  const { stdout, stderr, status } = spawnSync(process.execPath, ['--import', 'tsx', inNode, folder], { encoding: 'utf8', timeout: 3_600_000 });
  return status === 0 ? InNode.parse(JSON.parse(stdout)) : reasonOf(/Error: .*/.exec(stderr)?.[0] ?? `ended with ${String(status)}`);
}

const inNode = fileURLToPath(new URL('loading/inNode.ts', import.meta.url));
const { address, server } = await serve(site, Number(process.env['PORT'] ?? 4190));
const runs: Run[] = [];
for (const size of sizes.length === 0 ? [100_000, 1_000_000, 5_000_000] : sizes) {
  for (const format of formats) {
    const folder = filesOf(base, size, format), bytes = readdirSync(folder).reduce((sum, name) => sum + statSync(join(folder, name)).size, 0);
    const [load = 0] = loadavg();
    const page = await loadInBrowser(address, folder).catch((error: unknown) => reasonOf(error instanceof Error ? error.message : String(error)));
    runs.push({ size, format, bytes, load, page, node: loadInNode(folder) });
    process.stderr.write(`${JSON.stringify(runs.at(-1))}\n`);
    writeFileSync(new URL('loading.md', import.meta.url), tableOf(runs)); // what is measured stays, whatever comes next
  }
}
server.close();
process.stdout.write(tableOf(runs));

function tableOf(runs: readonly Run[]): string {
  const whole = new Intl.NumberFormat('en', { maximumFractionDigits: 0 }), mb = (bytes: number): string => whole.format(bytes / 1e6);
  const seconds = (value: number): string => value.toFixed(1);
  const row = ({ size, format, bytes, load, page, node }: Run): string => {
  const measured = typeof page === 'string' ? [page, '', '', '', '', '', ''] : [
    seconds(page.seconds), seconds(page.firstFigure), seconds(page.firstAnswer), mb(page.peak), mb(page.before), whole.format(page.longestTask), seconds(page.longestSilence),
  ];
  return `| ${[whole.format(size), format, mb(bytes), ...measured, ...(typeof node === 'string' ? [node, ''] : [seconds(node.seconds), mb(node.peak)]), load.toFixed(1)].join(' | ')} |`;
};
const goals = ([['one CSV', 10], ['one Parquet', 5]] as const).flatMap(([format, bound]) => {
  const page = runs.find((run) => run.size === 5_000_000 && run.format === format)?.page;
  if (page === undefined || typeof page === 'string') return [];
  const first = page.seconds + page.firstFigure, met = (isMet: boolean): string => (isMet ? 'met' : '**not met**');
  return [
    `| ${format} of 5 million, to the first figure | at most ${bound} s | ${seconds(first)} s | ${met(first <= bound)} |`,
    `| … most memory | at most 1,600 MB | ${mb(page.peak)} MB | ${met(page.peak <= 1.6e9)} |`,
  ];
});
const labels = [...new Set(runs.flatMap(({ page }) => (typeof page === 'string' ? [] : page.stages.map(({ label }) => label))))];
const stageRow = (label: string): string => `| ${label} | ${runs.map(({ page }) =>
  (typeof page === 'string' ? '–' : seconds(page.stages.filter((stage) => stage.label === label).reduce((sum, stage) => sum + stage.seconds, 0)))).join(' | ')} |`;
return `# How long a load takes, and what it needs

The sample registry's generator, seed ${seed} (\`npm run build\`, then \`npm run bench:loading\`), chosen on the page of the built site in headless Chromium, and through the same
library in Node. “One CSV” is a file of about 104 bytes a procedure with its revision beside it, no components and no patients, loaded by a mapping that was opened before, into the database that the page opens while files are looked at, and “one Parquet” the same rows; “without visits”: the other tables without that of follow-up visits. ${availableParallelism()} cores (${cpus()[0]?.model ?? ''}), ${(totalmem() / 1e9).toFixed(0)} GB. Times are of the clock and in seconds; the load average of the machine before each run says how many others wanted
its cores. Memory is the proportional set size of all processes of the browser, the sample registry loaded beside; in Node, the resident set of the process.

| goal | bound | measured | |
| --- | --- | --- | --- |
${goals.join('\n')}

| procedures | format | MB of files | loaded after | first figure after | whole answer after | most memory, MB | with the sample, MB | longest task on the page, ms | longest without a sign, s | Node: loaded after | Node: most memory, MB | load average |
| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |
${runs.map(row).join('\n')}

Seconds by stage, in Chromium:

| stage | ${runs.map(({ size, format }) => `${whole.format(size)} ${format}`).join(' | ')} |
| --- | ${runs.map(() => '---').join(' | ')} |
${labels.map(stageRow).join('\n')}
`;
}
