import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative, sep } from 'node:path';
import { describe, expect, it } from 'vitest';

/** The way of the data: a folder imports only from itself and from folders to its left. */
const order = ['vault', 'contract', 'intake', 'engine', 'cohort', 'stats', 'analysis', 'quality', 'visits', 'planning', 'screening', 'disclosure', 'pooling', 'reports', 'review', 'cli', 'app'];
const importsOnlyItself = ['vault', 'contract', 'stats', 'disclosure'];

const sources = (folder: string): string[] =>
  readdirSync(folder, { withFileTypes: true, recursive: true })
    .filter((e) => e.isFile() && /\.tsx?$/.test(e.name))
    .map((e) => join(e.parentPath, e.name));

/** The room of the house that a path lies in: `lib/stats/cox.ts` → `stats`. */
const roomOf = (path: string): string => {
  const [top, second] = path.split(sep);
  return top === 'lib' ? second! : top!;
};

const localImports = (file: string): string[] =>
  [...readFileSync(file, 'utf8').matchAll(/(?:from|import)\s*\(?\s*'((?:\.|@\/)[^']*)'/g)].map(([, target]) =>
    target!.startsWith('@/') ? target!.slice(2) : relative('.', join(dirname(file), target!)),
  );

describe('data flows one way', () => {
  const files = [...sources('lib'), ...sources('app')].filter((f) => order.includes(roomOf(f)));

  it('finds the rooms that the picture names', () => {
    expect(new Set(files.map(roomOf))).toEqual(new Set(order));
  });

  it.each(files)('%s imports only from the left', (file) => {
    const room = roomOf(file);
    for (const target of localImports(file)) {
      const from = roomOf(target);
      if (!order.includes(from)) continue;
      expect(order.indexOf(from), `${file} imports ${target}`).toBeLessThanOrEqual(order.indexOf(room));
      if (importsOnlyItself.includes(room)) expect(from, `${file} imports ${target}`).toBe(room);
    }
  });
});
