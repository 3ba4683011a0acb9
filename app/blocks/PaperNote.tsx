import { usualPolicy, type Policy } from '../../lib/disclosure/policy';
import type { TimeFigure } from '../../lib/reports/timeFigure';

const stepsOf = (figures: readonly TimeFigure[]) => figures.filter(({ shape, nothing }) => shape === 'steps' && nothing === undefined);

/** What a reader of the drawing outside the page must know: where it is told, and which lines are not. */
export function paperLines(figures: readonly TimeFigure[], { smallest }: Policy = usualPolicy): readonly string[] {
  const steps = stepsOf(figures);
  if (steps.length === 0 || smallest === 1) return [];
  const missing = steps.flatMap(({ title, lines, paper }) => lines.filter(({ label }) => !paper.some((line) => line.label === label))
    .map(({ label, points }) => ({ name: steps.length > 1 ? `${title}, ${label}` : label, isStopped: points.length === 0 })));
  const named = (stopped: boolean) => missing.filter(({ isStopped }) => isStopped === stopped).map(({ name }) => name).join('; ');
  return [
    `Told at ends of months between which nobody, or at least ${smallest}, had the event; lines are straight between them.`,
    ...(named(true) === '' ? [] : [`Too few at risk to be drawn: ${named(true)}.`]),
    ...(named(false) === '' ? [] : [`Withheld, as too few had the event: ${named(false)}.`]),
  ];
}

export function PaperNote({ figures, policy }: { readonly figures: readonly TimeFigure[]; readonly policy?: Policy | undefined }) {
  return <>{paperLines(figures, policy).map((line) => <p key={line} className="soft">{line}</p>)}</>;
}
