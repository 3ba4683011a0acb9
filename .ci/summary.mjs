// Adds up what the three runners counted, so that the last line says in one place what was tested.
import { existsSync, readFileSync } from 'node:fs';

const read = (file) => (existsSync(file) ? JSON.parse(readFileSync(file, 'utf8')) : null);
const unit = read('tests/.output/unit.json');
const browser = read('tests/.output/browser.json');
const reference = /(\d+) passed, (\d+) failed\s*$/.exec(readFileSync(process.argv[2], 'utf8').trimEnd());

const missing = Object.entries({ unit, browser, reference }).filter(([, found]) => !found).map(([name]) => name);
if (missing.length) console.log(`no result of: ${missing.join(', ')}`);
const passed = (unit?.numPassedTests ?? 0) + (browser?.stats.expected ?? 0) + Number(reference?.[1] ?? 0);
const failed = (unit?.numFailedTests ?? 0) + (browser?.stats.unexpected ?? 0) + (browser?.stats.flaky ?? 0) + Number(reference?.[2] ?? 0) + missing.length;
console.log(`${passed} passed, ${failed} failed`);
process.exitCode = failed ? 1 : 0;
