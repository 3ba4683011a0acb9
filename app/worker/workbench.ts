import type { ChapterName } from '../../lib/analysis/chapters';
import type { Mapping, TextLayout } from '../../lib/contract/mapping';
import type { MonitoredUnit, MonitoringQuestion } from '../../lib/contract/monitoringQuestion';
import type { Question } from '../../lib/contract/question';
import type { ChosenComponent, ScreeningQuestion } from '../../lib/contract/screeningQuestion';
import type { ChosenUnit, UnitsQuestion } from '../../lib/contract/unitsQuestion';
import type { View } from '../../lib/contract/view';
import type { Policy } from '../../lib/disclosure/policy';
import type { Level } from '../../lib/analysis/levels';
import type { LoadProgress } from '../../lib/engine/loadExtract';
import type { ChapterReport } from '../../lib/reports/chapters/chapterReport';
import type { Inspection } from '../../lib/intake/inspection';
import type { ComparisonReport, EmptyReport } from '../../lib/reports/comparisonReport';
import type { FirstRatios, FirstReport } from '../../lib/reports/firstReport';
import type { LoadedReport, RefusedReport } from '../../lib/reports/loadedReport';
import type { MonitoringReport, NotMonitoredReport } from '../../lib/reports/monitoring/monitoringReport';
import type { OverviewReport, OverviewView } from '../../lib/reports/monitoring/overviewReport';
import type { QualityReport } from '../../lib/reports/quality/qualityReport';
import type { QualityView } from '../../lib/reports/quality/qualityView';
import type { VersionsReport } from '../../lib/reports/quality/versionsReport';
import type { ProtectedTable, ReportTable } from '../../lib/reports/table';
import type { VisitsQuestion } from '../../lib/contract/visitsQuestion';
import type { NoVisitsReport, VisitsReport } from '../../lib/reports/visits/visitsReport';
import type { StudyPlan } from '../../lib/contract/studyPlan';
import type { PlanReport } from '../../lib/reports/planning/planReport';
import type { ExplainedReport, ExplainedView, NotExplainedReport } from '../../lib/reports/screening/explainedReport';
import type { NoScreeningReport, ScreeningReport } from '../../lib/reports/screening/screeningReport';
import type { UnitReport } from '../../lib/reports/units/unitReport';
import type { NoUnitsReport, UnitsReport } from '../../lib/reports/units/unitsReport';
import type { UnitsView } from '../../lib/reports/units/unitsView';
import type { UnitNames } from '../../lib/screening/units/unitNames';
import type { OwnCase } from '../../lib/screening/units/unitsResult';

export type Progress = LoadProgress;

/** Files of one's own, and how they become the tables of an extract. */
export interface MappedFiles { readonly files: readonly File[]; readonly mapping: Mapping }

/** Where the site keeps the sample registry as it stands after loading: addresses of our own origin. */
export interface SampleAddresses { readonly description: string; readonly database: string }

/** What the page asks of the worker that holds the registry and does the work. */
export interface Workbench {
  /** The compiled code of the database engine, which the page began to fetch before this worker was there; null: that failed, and is tried again when it is needed. */
  useEngine(code: WebAssembly.Module | null): Promise<void>;
  /** Holds the lock for as long as the worker lives, and tells of the end of the engine that holds the registry. Answers once the lock is held. */
  watch(lock: string, onRegistryLost: (reason: string) => void): Promise<void>;
  /** Loads the files; the registry loaded before stays when they are refused. `tryAnyway`: even if the memory will probably not be enough. `sample`: the saved sample registry instead. */
  load(files: readonly File[] | MappedFiles | { readonly sample: SampleAddresses }, onProgress: (progress: Progress) => void, tryAnyway: boolean): Promise<LoadedReport | RefusedReport | Cancelled>;
  /** Ends the load that is running, within about a second; its promise says `cancelled`, and the registry loaded before stays. */
  cancelLoad(): void;
  /** What the files seem to hold. They are kept for `inspectSource` until others are looked at. */
  inspect(files: readonly File[]): Promise<Inspection>;
  /** Looks again at one of the text files that were looked at last, with a layout that the person set. What gives no table is told in the problems. */
  inspectSource(file: string, layout: TextLayout): Promise<Inspection>;
  /** What may leave: everything worked out after it is protected by it. */
  protect(policy: Policy): Promise<void>;
  /** A newer question supersedes an older one. `onFirst` hears how the answer begins and goes on, if it has to be worked out. */
  answer(question: Question, view: View, onProgress: (progress: Progress) => void, onFirst: (first: FirstReport | FirstRatios) => Promise<void>): Promise<ComparisonReport | EmptyReport | Superseded>;
  /** A chapter of the question that was answered last. */
  chapter(name: ChapterName, question: Question, view: View, onProgress: (progress: Progress) => void): Promise<ChapterReport | Superseded>;
  /** The levels of the comparison among those who meet the rest of the question, largest first. */
  levels(question: Question): Promise<readonly Level[]>;
  /** All hospitals or surgeons. A newer question, here or of `answer` and `unit`, supersedes an older one. */
  units(question: UnitsQuestion, view: UnitsView, onProgress: (progress: Progress) => void): Promise<UnitsReport | NoUnitsReport | Superseded>;
  /** One of them beside its peers. */
  unit(question: UnitsQuestion, unit: ChosenUnit, view: UnitsView, onProgress: (progress: Progress) => void): Promise<UnitReport | NoUnitsReport | Superseded>;
  /** The revised procedures of one of them, for its own records. */
  ownCases(question: UnitsQuestion, unit: ChosenUnit): Promise<ProtectedTable>;
  /** The chart over time of a hospital, a surgeon or the question's model. A newer question, here or of `monitorAll`, supersedes an older one. */
  monitor(question: MonitoringQuestion, unit: MonitoredUnit | null, onProgress: (progress: Progress) => void): Promise<MonitoringReport | NotMonitoredReport | Superseded>;
  /** All charts of a kind. */
  monitorAll(question: MonitoringQuestion, view: OverviewView, onProgress: (progress: Progress) => void): Promise<OverviewReport | NotMonitoredReport | Superseded>;
  /** Every hospital and surgeon of the registry that is loaded. */
  unitNames(): Promise<UnitNames>;
  /** Every model of a joint's components. A newer question, here or of `answer` or `units`, supersedes an older one. */
  screening(question: ScreeningQuestion, onProgress: (progress: Progress) => void): Promise<ScreeningReport | NoScreeningReport | Superseded>;
  /** What lies behind one of them; a newer one supersedes an older one. */
  explained(question: ScreeningQuestion, chosen: ChosenComponent, view: ExplainedView, onProgress: (progress: Progress) => void): Promise<ExplainedReport | NotExplainedReport | Superseded>;
  /** The revised procedures of a unit, for the list that goes with a letter to it. */
  casesToCheck(question: UnitsQuestion, unit: ChosenUnit): Promise<readonly OwnCase[]>;
  /** Follow-up visits: signs, tendon, motion, scores. A newer question supersedes an older one. */
  visits(question: VisitsQuestion, onProgress: (progress: Progress) => void): Promise<VisitsReport | NoVisitsReport | Superseded>;
  /** What a planned study needs. Asks nothing of the registry. */
  planned(plan: StudyPlan): Promise<PlanReport>;
  /** Every record and value that was set aside, row by row, as CSV. */
  setAside(): Promise<Blob>;
  /** How far the registry that is loaded can be trusted. A newer question, here or of `answer`, supersedes an older one. */
  quality(view: QualityView, onProgress: (progress: Progress) => void): Promise<QualityReport | Superseded>;
  /** So many of its re-operations from the `from`-th (0: the first) on, one a row; all of them as CSV. */
  linkageRows(from: number, count: number): Promise<ReportTable>;
  linkageCsv(): Promise<Blob>;
  /** Loads an older version of the extract into a database of its own, by its own mapping where it has one. The loaded one stays as it is. */
  loadOlder(files: readonly File[], mapping: Mapping | null, onProgress: (progress: Progress) => void): Promise<OlderLoaded | RefusedReport | Cancelled>;
  /** What changed between the two, and how the numbers of a question move. A newer question supersedes an older one. */
  versions(question: Question, view: QualityView, onProgress: (progress: Progress) => void): Promise<VersionsReport | Superseded>;
  /** Its differences line by line, as CSV. */
  versionDifferences(): Promise<Blob>;
  closeOlder(): void;
}

export interface OlderLoaded { readonly status: 'loaded'; readonly source: string }

export interface Superseded { readonly status: 'superseded' }
export interface Cancelled { readonly status: 'cancelled' }
