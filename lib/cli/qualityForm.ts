import { basename } from 'node:path';
import { openingQuestion } from '../contract/openingQuestion';
import { Question } from '../contract/question';
import { UnitsQuestion } from '../contract/unitsQuestion';
import { quality } from '../quality/quality';
import type { QualityResult } from '../quality/qualityResult';
import { compareVersions, type VersionChanges } from '../quality/versions/compareVersions';
import { movedNumbers, type MovedNumbers } from '../quality/versions/movedNumbers';
import { versionFlags, type UnitInVersions } from '../screening/units/versionFlags';
import type { QualityOptions } from './arguments';
import { existingText, parsed } from './questionFile';
import { withExtract } from './withExtract';

interface Against { readonly changes: VersionChanges; readonly moved: Omit<MovedNumbers, 'analysis'>; readonly hospitals: readonly UnitInVersions[] }

/** How far an extract can be trusted and, where an older version is given, what changed since. */
export async function qualityAnswer(
  { extract: paths, mapping, against, question: path }: QualityOptions, progress: (line: string) => void,
): Promise<QualityResult & { readonly against?: Against }> {
  const question = path === undefined ? openingQuestion : parsed(Question, basename(path), await existingText(path));
  return withExtract({ extract: paths, mapping }, progress, async (extract, options) => {
    const result = await quality(extract, options);
    if (against.length === 0) return result;
    return withExtract({ extract: against, mapping }, progress, async (older) => {
      const { older: was, newer: is, rows } = await movedNumbers(older, extract, question, options), moved = { question, older: was, newer: is, rows };
      return { ...result, against: { changes: await compareVersions(older, extract, options), moved, hospitals: await versionFlags(older, extract, UnitsQuestion.parse({}), options) } };
    });
  });
}
