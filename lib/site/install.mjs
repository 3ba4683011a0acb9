// Installs what a fresh clone is missing. Plain Node without dependencies, since it runs before there are any.
// `--browser` also sees to a Chromium for the browser tests.
import { spawnSync } from 'node:child_process';
import { existsSync, statSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('../..', import.meta.url));

/** @param {string} command @param {string[]} args */
function run(command, ...args) {
  const { status, error } = spawnSync(command, args, { cwd: root, stdio: ['ignore', 'inherit', 'inherit'] });
  if (status !== 0) throw new Error(`\`${command} ${args.join(' ')}\` failed: ${error?.message ?? `exit status ${String(status)}`}`);
}

/** @param {string} path */
const changed = (path) => (existsSync(`${root}${path}`) ? statSync(`${root}${path}`).mtimeMs : 0);

if (changed('node_modules/.package-lock.json') < changed('package-lock.json')) {
  run('npm', 'ci', '--no-audit', '--no-fund');
}

if (process.argv.includes('--browser') && !existsSync('/usr/bin/chromium')) {
  if (existsSync('/etc/debian_version') && process.getuid?.() === 0) {
    run('apt-get', 'update', '-qq');
    run('apt-get', 'install', '-y', '-qq', '--no-install-recommends', 'chromium');
  } else {
    run('npx', 'playwright', 'install', 'chromium');
  }
}
