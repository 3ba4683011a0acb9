import { basename } from 'node:path';
import { ChosenComponent, ScreeningQuestion } from '../contract/screeningQuestion';
import { explainComponent } from '../screening/components/explainComponent';
import type { ComponentExplained, NotExplained } from '../screening/components/explainedResult';
import { screenComponents } from '../screening/components/screenComponents';
import type { ComponentsAnalysis, NoComponents } from '../screening/components/screeningResult';
import type { ScreeningOptions } from './arguments';
import { existingText, parsed } from './questionFile';
import { withExtract } from './withExtract';

/** All models of the roles screened, or what lies behind one. */
export async function screeningAnswer(
  { extract: paths, mapping, screening: path, model, class: ofClass }: ScreeningOptions, progress: (line: string) => void,
): Promise<ComponentsAnalysis | NoComponents | ComponentExplained | NotExplained> {
  const question = parsed(ScreeningQuestion, basename(path), await existingText(path));
  return withExtract<ComponentsAnalysis | NoComponents | ComponentExplained | NotExplained>({ extract: paths, mapping }, progress, (extract, options) => (model === undefined
    ? screenComponents(extract, question, options)
    : explainComponent(extract, question, ChosenComponent.parse({ model, class: ofClass }), options)));
}
