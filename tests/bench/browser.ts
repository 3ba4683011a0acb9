import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium, type BrowserContext } from '@playwright/test';
import { mostMemoryOf } from './loading/browserTree';

/** Chromium with a profile of its own. */
export interface Opened {
  readonly browser: BrowserContext;
  readonly peak: () => number; // bytes of all its processes at their fullest; not to be asked while anything is timed
  readonly close: () => Promise<void>;
}

export async function openChromium(): Promise<Opened> {
  const profile = mkdtempSync(join(tmpdir(), 'profile-')), debian = '/usr/bin/chromium';
  const browser = await chromium.launchPersistentContext(profile, {
    ...(existsSync(debian) && { executablePath: debian }), args: ['--no-sandbox', '--disable-background-networking', '--disable-component-update', '--no-first-run'],
  });
  const root = rootOf(profile);
  return {
    browser,
    peak: () => mostMemoryOf(root),
    close: async () => {
      await browser.close();
      rmSync(profile, { recursive: true, force: true });
    },
  };
}

/** The process that was started with this profile, and that all others of the browser descend from. */
function rootOf(profile: string): number {
  const found = readdirSync('/proc').filter((name) => /^\d+$/.test(name)).map(Number).filter((pid) => {
    try {
      return readFileSync(`/proc/${pid}/cmdline`, 'utf8').includes(profile);
    } catch {
      return false;
    }
  });
  return Math.min(...found);
}
