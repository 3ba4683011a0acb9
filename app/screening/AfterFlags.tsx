'use client';
import type { ScreeningQuestion } from '../../lib/contract/screeningQuestion';
import type { ListedModel } from '../../lib/reports/screening/screeningReport';
import { Checks } from '../parts/fields';
import { TextButton } from '../parts/TextButton';
import type { Ask } from '../parts/useEdits';

interface Props {
  readonly question: ScreeningQuestion;
  readonly ask: Ask<ScreeningQuestion>;
  readonly models: readonly ListedModel[];
}

/** With the flags seen: whether others are held against the flagged models, and carrying the flags to the next look. */
export function AfterFlags({ question, ask, models }: Props) {
  const { exceptModels, look, earlier } = question, flagged = [...new Set(models.filter((model) => model.flagged).map(({ chosen }) => chosen.model))];
  const listed = [...new Set([...flagged, ...exceptModels])].sort((a, b) => a.localeCompare(b, 'en', { numeric: true }));
  if (listed.length === 0) return null;
  const signals = flagged.filter((model) => !earlier.some((signal) => signal.model === model && signal.look === look)).map((model) => ({ model, look }));
  return (
    <div className="after-flags">
      <Checks
        label="Left out of the comparators" chosen={exceptModels} options={listed.map((key) => ({ key, label: key, ...(flagged.includes(key) && { note: 'flagged' }) }))}
        help="A flagged model makes the others of its kind look better than they are. Leave it out, or take it in again, and see whether the flags change."
        onChange={(keys) => { ask({ ...question, exceptModels: [...exceptModels.filter((model) => !listed.includes(model)), ...keys] }, false); }}
      />
      {signals.length > 0 && (
        <p><TextButton onPress={() => { ask({ ...question, look: look + 1, earlier: [...earlier, ...signals] }, false); }}>Carry these flags forward to look {look + 1}</TextButton></p>
      )}
    </div>
  );
}
