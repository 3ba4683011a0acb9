import { availableParallelism, cpus, totalmem } from 'node:os';
import { agrees, differencesOf } from './agreement';
import { goalsOf, ratio, sides } from './goals';
import type { FirstView, OfSize } from './measured';
import type { Cell } from './timing';

const whole = new Intl.NumberFormat('en', { maximumFractionDigits: 0 });
const ms = (value: number): string => (value < 10 ? value.toFixed(1) : whole.format(value));
const mb = (bytes: number): string => whole.format(bytes / 1e6);

const cellText = (cell: Cell | undefined): string => {
  if (cell === undefined) return '–';
  return 'failed' in cell ? cell.failed.replaceAll('|', '/') : `${ms(cell.median)} (${ms(cell.least)})`;
};
const side = (of: OfSize, where: 'node' | 'r' | 'chromium', name: string): string => {
  const part = of[where];
  return 'failed' in part ? part.failed.replaceAll('|', '/') : cellText(part.times[name]);
};
const total = (value: number | null): string => (value === null ? '–' : ms(value));

/** Parts of the questions that are asked in Chromium. */
const partWords: Readonly<Record<string, string>> = { firstAnswer: 'while the first was answered', filterChange: 'while filters were changed', screening: 'while models were screened', funnel: 'while hospitals were asked about' };

interface Row { readonly what: string; readonly node: string; readonly r?: string; readonly side?: keyof ReturnType<typeof sides>; readonly chromium?: string }

const rows: readonly Row[] = [
  { what: 'reduction to cells', node: 'reduction' },
  { what: 'five curves with limits, numbers at single times, risk table (reduction included)', node: 'curves', r: 'curves', side: 'curves' },
  { what: 'the same from cells', node: 'curvesOnly' },
  { what: 'Cox, Efron, adjusted for age group and sex: merging the cells', node: 'merging' },
  { what: '… and the fit', node: 'cox', r: 'cox', side: 'cox' },
  { what: 'curves and Cox together (reduction included)', node: 'curvesAndCox', side: 'curvesAndCox' },
  { what: 'test of proportional hazards', node: 'proportionalHazards', r: 'proportionalHazards', side: 'proportionalHazards' },
  { what: 'the whole answer, no clusters', node: 'answer' },
  { what: 'the whole answer, patients as clusters; in Chromium a changed filter, to the painted figure', node: 'clusteredAnswer', chromium: 'filterChange' },
  { what: '… to the complete answer', node: '', chromium: 'filterChangeWhole' },
  { what: 'first answer after loading', node: '', chromium: 'firstAnswer' },
  { what: '18 coefficients: reduction to cells', node: 'manyReduction' },
  { what: '… the fit', node: 'manyCox', r: 'manyCox', side: 'many' },
  { what: 'screening of all models', node: 'screening', chromium: 'screening' },
  { what: 'funnel of all hospitals', node: 'funnel', chromium: 'funnel' },
  { what: 'floor: the bare grouped query', node: 'groupedQuery' },
  { what: 'floor: a counting pass over typed arrays', node: 'countingPass' },
];

function sizeText(of: OfSize): string {
  const { size, node, r, chromium, load } = of, both = sides(of);
  const lines = rows.map(({ what, node: name, r: peer, side: compared, chromium: page }) => {
    const times = compared === undefined ? null : ratio(both[compared].theirs, both[compared].ours);
    const theirs = peer === undefined ? (compared === undefined ? '–' : total(both[compared].theirs)) : side(of, 'r', peer);
    return `| ${what} | ${name === '' ? '–' : side(of, 'node', name)} | ${theirs} | ${times === null ? '–' : `${times.toFixed(0)} ×`} | ${page === undefined ? '–' : side(of, 'chromium', page)} |`;
  });
  const counted = 'failed' in node ? '' : Object.entries(node.counted).map(([name, n]) => `${name} ${whole.format(n)}`).join(', ');
  const memory = [
    ...('failed' in node ? [] : [`Node loads Parquet in ${node.loadSeconds.toFixed(1)} s (one thread) and holds at most ${mb(node.peak)} MB (${mb(node.loadPeak)} MB while loading)`]),
    ...('failed' in chromium ? [] : [`Chromium loads it in ${chromium.loadSeconds.toFixed(1)} s and holds at most ${mb(chromium.peak)} MB in all its processes; the longest task on the page while questions were asked took ${ms(chromium.longestTask)} ms${chromium.longestIn === '' ? '' : `, ${partWords[chromium.longestIn] ?? chromium.longestIn}`}`]),
    ...('failed' in r ? [] : [`R holds at most ${mb(r.peak)} MB; coxph without delayed entry takes ${cellText(r.times['coxWithoutEntry'])} ms`]),
  ];
  return `## ${whole.format(size)} procedures

Of them in the question: ${counted}. Load average at the beginning: ${load.toFixed(1)}.

| ms: median (least) | Node, one thread | R | R over Node | Chromium |
| --- | --- | --- | --- | --- |
${lines.join('\n')}

${memory.join('. ')}.

| held against R | largest difference | allowed | numbers |
| --- | --- | --- | --- |
${differencesOf(of).map((d) => `| ${d.what} | ${d.largest.toExponential(1)}${agrees(d) ? '' : ' **differs**'} | ${d.allowed} | ${d.compared} |`).join('\n')}
`;
}

export function tableOf(all: readonly OfSize[], view: FirstView | null, { seed, commit, versions }: { readonly seed: number; readonly commit: string; readonly versions: readonly string[] }): string {
  const goals = goalsOf(all, view).map(({ what, size, bound, measured, met }) =>
    `| ${what} | ${size === null ? '' : whole.format(size)} | ${bound} | ${measured ?? '–'} | ${measured === null ? 'not measured' : met ? 'met' : '**not met**'} |`);
  return `# How fast the answers are

\`npm run build\`, then \`npm run bench\`: the sample registry's generator, seed ${seed}, loaded from Parquet; the same rows in R. ${availableParallelism()} cores (${cpus()[0]?.model ?? ''}), ${(totalmem() / 1e9).toFixed(0)} GB. ${versions.join(', ')}; commit ${commit}.
Times are of the clock. In Node the database has one thread, and each run asks from another first year that leaves out no row, so that no answer is a kept one. Both run what is short up to fifty times within a second. R is given the
rows as vectors and only its calls are timed; it is told of delayed entry, as the question is. In Chromium the built site is used as a person does, from the click to the
frame after the one in which the new drawing is made, on the tables without follow-up visits, which none of these questions asks for. The estimates of both are compared, and the run fails where they differ.

| goal | procedures | bound | measured | |
| --- | --- | --- | --- | --- |
${goals.join('\n')}

First view of the sample registry on loopback, ms: nothing kept ${cellText(view?.cold)}, warm ${cellText(view?.warm)}; it begins with what was kept of the opening question when the site was built. To the whole answer of the engine: nothing kept ${cellText(view?.wholeCold)}, warm ${cellText(view?.wholeWarm)}. The goals for loading are of one CSV of 518 MB and the same rows as Parquet: \`loading.md\`, with the stages. Here all tables without visits are loaded, and then every page is asked.

${all.map(sizeText).join('\n')}`;
}
