import { spawnSync } from 'node:child_process';
import { copyFileSync, existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { differences } from './differences';

// Reruns every R script of this folder and compares what it writes with the recorded fixture; with --write, records anew.

const here = fileURLToPath(new URL('.', import.meta.url)), fixtures = join(here, 'fixtures');
const packages = 'r-base-core r-cran-survival r-cran-cmprsk r-cran-jsonlite r-cran-etm r-cran-nnet r-cran-riskregression r-cran-mass r-cran-mice r-cran-nlme r-cran-sandwich r-cran-geepack r-cran-vcd r-cran-metafor';
const shown = 10;

interface Fixture { readonly r: string; readonly packages: unknown; readonly call: string; readonly cases: readonly { readonly name?: string }[] }

function read(path: string): Fixture {
  const content = JSON.parse(readFileSync(path, 'utf8')) as Fixture;
  return Array.isArray(content.cases) ? content : { ...content, cases: [content.cases as object] }; // one case, or a table of them
}

function recompute(script: string, written: string): string | null {
  const { status, stderr } = spawnSync('Rscript', ['--vanilla', script, written], { cwd: here, encoding: 'utf8' });
  return status === 0 ? null : `${script} ended with status ${status ?? 'none'}:\n${stderr.trim()}\nPackages it may need, on Debian: apt-get install ${packages}`;
}

/** One line per case that does not agree. */
function compare(topic: string, written: string): { readonly passed: number; readonly failures: readonly string[] } {
  const recordedAt = join(fixtures, `${topic}.json`);
  if (!existsSync(recordedAt)) return { passed: 0, failures: [`${topic}: no fixture is recorded; run npm run reference -- --write`] };
  const recorded = read(recordedAt), now = read(written);
  const versions = differences({ r: recorded.r, packages: recorded.packages }, { r: now.r, packages: now.packages });
  if (versions.length > 0) console.log(`${topic}: recorded with other versions, which is no failure by itself: ${versions.join('; ')}`);
  const failures: string[] = [];
  const frameOf = ({ call, cases }: Fixture) => ({ call, names: cases.map((c) => c.name) });
  const frame = differences(frameOf(recorded), frameOf(now));
  if (frame.length > 0) failures.push(`${topic}: ${frame.slice(0, shown).join('\n    ')}`);
  recorded.cases.forEach((recordedCase, k) => {
    const found = differences(recordedCase, now.cases[k]);
    const more = found.length > shown ? `\n    and ${found.length - shown} more` : '';
    if (found.length > 0) failures.push(`${topic}, ${recordedCase.name ?? 'all'}:\n    ${found.slice(0, shown).join('\n    ')}${more}`);
  });
  return { passed: recorded.cases.length - failures.filter((f) => !f.startsWith(`${topic}: `)).length, failures };
}

if (spawnSync('Rscript', ['--version']).error) {
  console.error(`Rscript was not found; on Debian: apt-get install ${packages}`);
  process.exit(1);
}
const record = process.argv.includes('--write');
const folder = mkdtempSync(join(tmpdir(), 'reference-'));
let passed = 0, failed = 0;
try {
  for (const script of readdirSync(here).filter((name) => name.endsWith('.R')).sort()) {
    const topic = script.slice(0, -2), written = join(folder, `${topic}.json`);
    const problem = recompute(script, written);
    if (problem !== null) {
      console.error(problem);
      ++failed;
    } else if (record) {
      mkdirSync(fixtures, { recursive: true });
      copyFileSync(written, join(fixtures, `${topic}.json`));
      passed += read(written).cases.length;
    } else {
      const result = compare(topic, written);
      for (const failure of result.failures) console.error(`FAILED ${failure}`);
      console.log(`${topic}: ${result.passed} cases agree`);
      passed += result.passed;
      failed += result.failures.length;
    }
  }
} finally {
  rmSync(folder, { recursive: true });
}
console.log(`${passed} passed, ${failed} failed`);
process.exitCode = failed > 0 || passed === 0 ? 1 : 0;
