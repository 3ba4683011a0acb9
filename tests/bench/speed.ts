import { execFileSync, spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { loadavg, tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { z, type ZodType } from 'zod';
import { root } from '../../lib/site/paths';
import { filesOf, seed } from './extractFiles';
import { agrees, differencesOf } from './speed/agreement';
import { FirstView, InChromium, InNode, InR, type OfSize } from './speed/measured';
import { tableOf } from './speed/table';
import { Failed, reasonOf } from './speed/timing';

// Our paths and R's side by side on the same rows: npm run build, then npm run bench -- [folder for the files] [sizes …]
// What was measured is kept by commit under <folder>/speed, so that a run that was ended goes on where it was.
const base = process.argv[2] ?? join(tmpdir(), 'bench'), sizes = process.argv.slice(3).map(Number);
const git = (...asked: string[]): string => execFileSync('git', asked, { cwd: root, encoding: 'utf8' }).trim();
const commit = git('rev-parse', '--short', 'HEAD') + (git('status', '--porcelain', 'lib', 'app', 'tests/bench', ':!tests/bench/speed.md') === '' ? '' : ', changed');
const kept = join(base, 'speed', commit.replace(', ', '-'));
mkdirSync(kept, { recursive: true });

const script = (name: string): string => fileURLToPath(new URL(`speed/${name}`, import.meta.url));
const longest = 900_000; // of one process

/** What a process printed, or what was kept of it; where it fails, why. */
function measured<T>(name: string, schema: ZodType<T>, command: string, parts: readonly string[]): T | Failed {
  const path = join(kept, `${name}.json`);
  if (existsSync(path) && !commit.includes('changed')) return z.union([Failed, schema]).parse(JSON.parse(readFileSync(path, 'utf8')));
  process.stderr.write(`${name}\n`);
  const { stdout, status, signal } = spawnSync(command, parts, { encoding: 'utf8', timeout: longest, maxBuffer: 2 ** 26, stdio: ['ignore', 'pipe', 'inherit'] });
  try {
    if (status !== 0) throw new Error(`ended with ${String(status ?? signal)}`);
    const result = schema.parse(JSON.parse(stdout));
    writeFileSync(path, JSON.stringify(result));
    return result;
  } catch (error) {
    return { failed: reasonOf(error) };
  }
}
const ours = <T>(name: string, schema: ZodType<T>, file: string, ...parts: string[]): T | Failed =>
  measured(name, schema, process.execPath, ['--max-old-space-size=8192', '--import', 'tsx', script(file), ...parts]);

const view = ours('first-view', FirstView, 'firstView.ts', '3');
const all: OfSize[] = [];
for (const size of sizes.length === 0 ? [100_000, 1_000_000, 5_000_000] : sizes) {
  const folder = filesOf(base, size, 'Parquet'), handOver = join(base, 'speed', `rows-${size}`), runs = size > 1_000_000 ? '3' : '5', [load = 0] = loadavg();
  const node = ours(`node-${size}`, InNode, 'inNode.ts', folder, handOver, runs);
  const peer = measured(`r-${size}`, InR, 'Rscript', [script('peer.R'), handOver, size > 1_000_000 ? '1' : '3', size > 1_000_000 ? 'no' : 'yes']);
  const chromium = ours(`chromium-${size}`, InChromium, 'inChromium.ts', filesOf(base, size, 'Parquet without visits'), runs);
  all.push({ size, load, node, r: peer, chromium });
  const versions = [`Node ${process.version.slice(1)}`, ...('version' in peer ? [peer.version] : []), ...('version' in chromium ? [`Chromium ${chromium.version}`] : [])];
  writeFileSync(new URL('speed.md', import.meta.url), tableOf(all, 'failed' in view ? null : view, { seed, commit, versions })); // after each size, in case the next does not end
}
process.stdout.write(readFileSync(new URL('speed.md', import.meta.url), 'utf8'));
const apart = all.flatMap((of) => differencesOf(of).filter((d) => !agrees(d)).map((d) => `${of.size}: ${d.what} differ from R by ${d.largest}, more than ${d.allowed}`));
if (apart.length > 0) throw new Error(apart.join('; '));
