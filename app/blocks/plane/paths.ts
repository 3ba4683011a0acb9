/** A place in the drawing in CSS pixels; null: nothing is there, and the line is interrupted. */
export type Place = readonly [x: number, y: number] | null;

const rounded = (value: number): number => Math.round(value * 1000) / 1000;

/** From each place to the next, straight; or across first and then up or down. */
function through(places: readonly (readonly [number, number])[], stepped: boolean): string {
  return places.map(([x, y], i) => (i === 0 ? `${rounded(x)},${rounded(y)}` : stepped ? `H${rounded(x)}V${rounded(y)}` : `L${rounded(x)},${rounded(y)}`)).join('');
}

/** Runs without an interruption. */
function runsOf<T>(all: readonly (T | null)[]): readonly (readonly T[])[] {
  const runs: T[][] = [[]];
  for (const one of all) {
    if (one === null) runs.push([]);
    else runs.at(-1)!.push(one);
  }
  return runs.filter((run) => run.length > 0);
}

/** The SVG path of a line through the places, in their order. */
export const linePath = (places: readonly Place[], stepped: boolean): string => runsOf(places).map((run) => `M${through(run, stepped)}`).join('');

/** The SVG path of the area between two values over each place across: forth along the upper one, back along the lower one. */
export function bandPath(places: readonly (readonly [x: number, low: number, high: number] | null)[], stepped: boolean): string {
  return runsOf(places).map((run) => {
    const back = [...run].reverse().map(([x, low]) => [x, low] as const);
    const returned = stepped
      ? back.map(([x, low], i) => (i === 0 ? `V${rounded(low)}` : `V${rounded(low)}H${rounded(x)}`)).join('')
      : `L${through(back, false)}`;
    return `M${through(run.map(([x, , high]) => [x, high] as const), stepped)}${returned}Z`;
  }).join('');
}
