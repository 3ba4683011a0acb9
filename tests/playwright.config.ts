import { defineConfig } from '@playwright/test';
import { existsSync } from 'node:fs';

const port = Number(process.env['WORKBENCH_PORT'] ?? 4317);
const debian = '/usr/bin/chromium'; // else Playwright's own

export default defineConfig({
  testDir: 'browser',
  outputDir: '.output/browser',
  workers: 1, // each page holds a database of its own
  timeout: 120_000,
  expect: { timeout: 30_000 },
  reporter: [['list'], ['json', { outputFile: '.output/browser.json' }]],
  use: {
    baseURL: `http://127.0.0.1:${port}/`,
    trace: 'retain-on-failure',
    launchOptions: {
      ...(existsSync(debian) && { executablePath: debian }),
      args: [
        '--no-sandbox', // as root
        '--disable-background-networking', '--disable-component-update', '--disable-sync', '--no-first-run',
      ],
    },
  },
  webServer: { command: `npx tsx ../lib/site/start.ts`, env: { PORT: String(port) }, url: `http://127.0.0.1:${port}/`, timeout: 300_000, reuseExistingServer: false },
});
