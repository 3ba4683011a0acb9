import { usualPolicy, type Policy } from '../../lib/disclosure/policy';
import type { TimeFigure } from '../../lib/reports/timeFigure';

const stepsOf = (figures: readonly TimeFigure[]) => figures.filter(({ shape }) => shape === 'steps');

/** What a reader of the drawing outside the page must know: where it is told, and which lines are not. */
export function paperLines(figures: readonly TimeFigure[], { smallest }: Policy = usualPolicy): readonly string[] {
  const steps = stepsOf(figures);
  if (steps.length === 0 || smallest === 1) return [];
  const missing = steps.flatMap(({ title, lines, paper }) => lines.filter(({ label }) => !paper.some((line) => line.label === label)).map(({ label }) => (steps.length > 1 ? `${title}, ${label}` : label)));
  return [
    `Told at ends of months between which nobody, or at least ${smallest}, had the event; lines are straight between them.`,
    ...(missing.length === 0 ? [] : [`Withheld, as too few had the event: ${missing.join('; ')}.`]),
  ];
}

export function PaperNote({ figures, policy }: { readonly figures: readonly TimeFigure[]; readonly policy?: Policy | undefined }) {
  return <>{paperLines(figures, policy).map((line) => <p key={line} className="soft">{line}</p>)}</>;
}
