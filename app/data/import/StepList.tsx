import { stepTitles, type OpenPoint, type Step, steps } from '../../../lib/reports/importing/openPoints';

/** All steps at once, with what each still asks for. */
export function StepList({ open, isStarted }: { readonly open: readonly OpenPoint[]; readonly isStarted: boolean }) {
  return (
    <nav className="steps" aria-label="Steps">
      <ol>
        {steps.map((step) => (
          <li key={step} data-state={stateOf(step, open, isStarted)}>
            {isStarted || step === 'files' ? <a href={`#${step}`}>{stepTitles[step]}</a> : <span>{stepTitles[step]}</span>}
            <span className="state">{wordsOf(step, open, isStarted)}</span>
          </li>
        ))}
      </ol>
    </nav>
  );
}

const asked = (step: Step, open: readonly OpenPoint[]): number => open.filter((point) => point.step === step).length;

const stateOf = (step: Step, open: readonly OpenPoint[], isStarted: boolean): string => (!isStarted ? 'ahead' : asked(step, open) > 0 ? 'open' : 'done');

function wordsOf(step: Step, open: readonly OpenPoint[], isStarted: boolean): string {
  if (!isStarted) return step === 'files' ? 'start here' : '';
  const count = asked(step, open);
  if (count > 0) return `${count} to answer`;
  return step === 'load' && open.length > 0 ? 'when all is answered' : step === 'load' ? 'ready' : 'nothing open';
}
