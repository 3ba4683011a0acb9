import * as Comlink from 'comlink';
import { z } from 'zod';
import { analyse } from '../../lib/analysis/analyse';
import { answerChapter, type ChapterName, type Chapters } from '../../lib/analysis/chapters';
import { levelsOf } from '../../lib/analysis/levels';
import type { Analysis, NothingToShow } from '../../lib/analysis/result';
import { readAhead } from '../../lib/analysis/rows/readAhead';
import { putInForce } from '../../lib/disclosure/policy';
import type { LoadingDatabase } from '../../lib/engine/database';
import type { MemoryLimits } from '../../lib/engine/load/memoryForecast';
import { holdWhileAlive } from '../../lib/engine/life';
import { loadExtract, type LoadResult } from '../../lib/engine/loadExtract';
import type { LoadedExtract } from '../../lib/engine/loadedExtract';
import { openSaved, type SavedExtract } from '../../lib/engine/savedExtract';
import { setAsideCsv } from '../../lib/engine/setAsideCsv';
import { openWasmDatabase, type WasmEngine } from '../../lib/engine/wasm';
import { reportChapter } from '../../lib/reports/chapters';
import { comparisonReport } from '../../lib/reports/comparisonReport';
import { firstRatios, firstReport } from '../../lib/reports/firstReport';
import { loadedReport, refusedReport } from '../../lib/reports/loadedReport';
import { visitsReport } from '../../lib/reports/visits/visitsReport';
import { analyseVisits } from '../../lib/visits/analyseVisits';
import { planReport } from '../../lib/reports/planning/planReport';
import { ownCasesTable } from '../../lib/reports/units/ownCasesTable';
import { ownCases } from '../../lib/screening/units/ownCases';
import { unitNames } from '../../lib/screening/units/unitNames';
import { compiledEngine } from './compiledEngine';
import { extractFile, inspectionAnswers } from './inspectionAnswers';
import { openedAhead } from './openedAhead';
import { newestOnly, superseded } from './newestOnly';
import { screeningAnswers } from './screeningAnswers';
import { monitoringAnswers } from './monitoringAnswers';
import { qualityAnswers } from './qualityAnswers';
import { unitsAnswers } from './unitsAnswers';
import { versionAnswers } from './versionAnswers';
import type { Cancelled, SampleAddresses, Workbench } from './workbench';

z.config({ jitless: true }); // the page's policy forbids code made from text

let loaded: LoadedExtract | null = null;
let loading = new AbortController();
const cancelled: Cancelled = { status: 'cancelled' };
const answering = newestOnly();
/** What was shown last: another view of it needs no new work. */
let answered: { readonly key: string; readonly analysis: Analysis | NothingToShow; readonly chapters: { [N in ChapterName]?: Chapters[N] } } | null = null;

function registry(): LoadedExtract {
  if (loaded === null) throw new Error('no registry is loaded');
  return loaded;
}

const units = unitsAnswers(registry);
const screening = screeningAnswers(registry);
const explaining = newestOnly();
const monitoring = monitoringAnswers(registry);
const trusting = qualityAnswers(registry);

let given: (code: WebAssembly.Module | null) => void = () => undefined;
const begun = new Promise<WebAssembly.Module | null>((resolve) => { given = resolve; });
const engine: WasmEngine = { worker: '/engine.worker.js', code: async () => await begun ?? compiledEngine() };
let heldBytes = 0; // a database gives back what it once needed only when it is closed
let tellLost: (reason: string) => void = () => undefined;

const gibibyte = 1024 ** 3;

/** The engine's own limit, and of the machine what a browser says of it (no more than 8 GiB in most), less what the registry that is loaded still holds. */
function memoryLimits(): MemoryLimits {
  const device = 'deviceMemory' in navigator ? Number(navigator.deviceMemory) * gibibyte : null;
  return { engine: 3.1 * gibibyte, machine: device === null ? null : 0.75 * device - heldBytes };
}

/** Opens a database of which the page hears when it ends while its registry is the one that is loaded. */
async function open(onLost: () => void = () => undefined): Promise<LoadingDatabase> {
  const database = await openWasmDatabase(engine, (reason) => {
    onLost();
    if (loaded?.database !== database) return; // a load that is running hears of it by itself
    letGo();
    tellLost(reason);
  });
  return database;
}

const ahead = openedAhead(open);

/** Forgets the registry and all that was worked out of it. */
function letGo(): LoadedExtract | null {
  const before = loaded;
  loaded = answered = null;
  for (const kept of [units, screening, monitoring, trusting]) kept.forget();
  for (const running of [explaining, comparing, answering]) running.end();
  versions.close();
  return before;
}

const comparing = newestOnly();
const versions = versionAnswers(registry, () => openWasmDatabase(engine));

const fetched = async (address: string): Promise<Response> => {
  const response = await fetch(address);
  if (!response.ok) throw new Error(`the sample registry could not be read: ${response.status} ${response.statusText}`);
  return response;
};

/** The engine opens while the sample is on its way. */
async function openSample({ description, database }: SampleAddresses, signal: AbortSignal): Promise<LoadResult> {
  const opening = open();
  try {
    const [saved, file] = await Promise.all([
      fetched(description).then((response) => response.json() as Promise<SavedExtract>),
      fetched(database).then((response) => response.arrayBuffer()),
      opening,
    ]);
    signal.throwIfAborted();
    return await openSaved(() => opening, saved, new Uint8Array(file));
  } catch (error) {
    await opening.then((opened) => opened.close(), () => undefined);
    throw error;
  }
}

/** Of one question, so that its chapters need no second working out. */
function keep<N extends ChapterName>(chapters: { [M in ChapterName]?: Chapters[M] }, name: N, result: Chapters[N]): void {
  chapters[name] = result;
}

const workbench: Workbench = {
  async useEngine(code) {
    given(code);
    await Promise.resolve();
  },

  async watch(lock, onRegistryLost) {
    tellLost = onRegistryLost;
    await holdWhileAlive(lock);
  },

  async load(what, onProgress, tryAnyway) {
    loading.abort(cancelled);
    const { signal } = loading = new AbortController();
    let result: LoadResult;
    try {
      if ('sample' in what) {
        result = await openSample(what.sample, signal);
      } else {
        const mapped = 'mapping' in what ? { mapping: what.mapping } : {};
        result = await loadExtract(ahead.take, ('mapping' in what ? what.files : what).map(extractFile), { onProgress, signal, memory: memoryLimits(), tryAnyway, ...mapped });
      }
    } catch (error) {
      if (signal.aborted) return cancelled;
      throw error;
    }
    if (result.status === 'refused') return refusedReport(result.problems);
    if (signal.aborted) { // at its very end
      await result.extract.database.close();
      return cancelled;
    }
    const before = letGo();
    loaded = result.extract;
    heldBytes = result.memoryNeeded;
    await before?.database.close();
    if (!('sample' in what)) readAhead(loaded).catch(() => undefined); // whoever asks for the same hears of it
    return loadedReport(result.extract.source, result.report);
  },

  cancelLoad: () => { loading.abort(cancelled); },

  ...inspectionAnswers(ahead.prepare),

  async protect(policy) {
    putInForce(policy);
    await Promise.resolve();
  },

  answer: (question, view, onProgress, onFirst) => answering.run(async (options) => {
    const key = JSON.stringify(question);
    const analysis = answered?.key === key ? answered.analysis : await analyse(registry(), question, {
      ...options,
      onCurves: (curves) => onFirst(firstReport(curves, view)), // what comes next would take the page's drawing its core
      onRatios: (ratios) => { void onFirst(firstRatios(ratios)); },
    });
    options.signal?.throwIfAborted(); // before it is kept
    if (answered?.analysis !== analysis) answered = { key, analysis, chapters: {} };
    return comparisonReport(analysis, view);
  }, onProgress),

  async chapter(name, question, view, onProgress) {
    const shown = answered;
    if (shown?.key !== JSON.stringify(question) || shown.analysis.status === 'empty') return superseded;
    const { analysis, chapters } = shown;
    return answering.goOn(async (options) => {
      const result = chapters[name] ?? await answerChapter(registry(), question, name, options);
      if (result.status === 'empty') throw new Error(result.reason);
      keep(chapters, name, result);
      return reportChapter(analysis, name, result, view);
    }, onProgress);
  },

  units: (question, view, onProgress) => answering.run((options) => units.all(question, view, options), onProgress),
  monitor: (question, unit, onProgress) => answering.run((options) => monitoring.one(question, unit, options), onProgress),
  monitorAll: (question, view, onProgress) => answering.run((options) => monitoring.all(question, view, options), onProgress),
  unit: (question, unit, view, onProgress) => answering.run((options) => units.one(question, unit, view, options), onProgress),
  ownCases: async (question, unit) => ownCasesTable(await ownCases(registry(), question, unit)),
  unitNames: () => unitNames(registry()),
  casesToCheck: (question, unit) => ownCases(registry(), question, unit),

  screening: (question, onProgress) => {
    explaining.end();
    return answering.run((options) => screening.all(question, options), onProgress);
  },
  explained: (question, chosen, view, onProgress) => explaining.run((options) => screening.one(question, chosen, view, options), onProgress),

  quality: (view, onProgress) => answering.run((options) => trusting.quality(view, options), onProgress),
  linkageRows: (from, count) => trusting.linkageRows(from, count),
  linkageCsv: () => trusting.linkageCsv(),
  visits: (question, onProgress) => answering.run(async (options) => visitsReport(await analyseVisits(registry(), question, options)), onProgress),
  planned: (plan) => Promise.resolve(planReport(plan)),
  loadOlder: (files, mapping, onProgress) => versions.loadOlder(files, mapping, onProgress),
  versions: (question, view, onProgress) => comparing.run((options) => versions.versions(question, view, options), onProgress),
  versionDifferences: () => versions.differences(),
  closeOlder: () => {
    comparing.end();
    versions.close();
  },

  async setAside() {
    const pages: string[] = [];
    for await (const page of setAsideCsv(registry().database)) pages.push(page);
    return new Blob(pages, { type: 'text/csv' });
  },

  levels: (question) => levelsOf(registry().database, question),
};

Comlink.expose(workbench);
