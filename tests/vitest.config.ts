import { defineConfig } from 'vitest/config';
import { fileURLToPath } from 'node:url';

export default defineConfig({
  root: fileURLToPath(new URL('..', import.meta.url)),
  resolve: { alias: { '@': fileURLToPath(new URL('..', import.meta.url)) } },
  test: { include: ['tests/**/*.test.ts', 'tests/**/*.test.tsx'], exclude: ['tests/browser/**'], testTimeout: 60_000, hookTimeout: 60_000, reporters: ['default', ['json', { outputFile: 'tests/.output/unit.json' }]] },
});
