import type { ForestFigure } from './forest';
import type { FunnelFigure } from './funnelFigure';
import type { Sentence } from './phrases';
import type { ProtectedTable } from './table';
import type { TimeFigure } from './timeFigure';
import type { BalanceFigure } from './chapters/balanceFigure';
import type { MonitorFigure } from './monitoring/monitorFigure';
import type { StackFigure } from './chapters/stackFigure';
import type { PointsFigure } from './visits/pointsFigure';
import type { ZoneFigure } from './visits/zoneFigure';

/** A piece of a chapter. Every drawing comes with the table that says the same. */
export type Block =
  | { readonly kind: 'heading'; readonly text: string }
  | { readonly kind: 'words'; readonly sentences: readonly Sentence[] }
  | { readonly kind: 'caution'; readonly text: string }
  | { readonly kind: 'overTime'; readonly figure: TimeFigure; readonly table: ProtectedTable; readonly shownOnce?: boolean } // shownOnce: the table stands elsewhere
  | { readonly kind: 'panels'; readonly name: string; readonly title: string; readonly caption: string; readonly panels: readonly TimeFigure[]; readonly table: ProtectedTable }
  | { readonly kind: 'stack'; readonly figure: StackFigure; readonly table: ProtectedTable }
  | { readonly kind: 'forest'; readonly title: string; readonly figure: ForestFigure; readonly table: ProtectedTable }
  | { readonly kind: 'balance'; readonly figure: BalanceFigure; readonly table: ProtectedTable }
  | { readonly kind: 'funnel'; readonly figure: FunnelFigure; readonly table: ProtectedTable }
  | { readonly kind: 'monitor'; readonly figure: MonitorFigure; readonly table: ProtectedTable }
  | { readonly kind: 'points'; readonly figure: PointsFigure; readonly table: ProtectedTable }
  | { readonly kind: 'zones'; readonly figure: ZoneFigure; readonly table: ProtectedTable }
  | { readonly kind: 'table'; readonly table: ProtectedTable; readonly folded: boolean }
  | { readonly kind: 'choice'; readonly label: string; readonly options: readonly { readonly label: string; readonly blocks: readonly Block[] }[] };

export const heading = (text: string): Block => ({ kind: 'heading', text });
export const caution = (text: string): Block => ({ kind: 'caution', text });
/** A paragraph; nothing where there is nothing to say. */
export const paragraph = (sentences: readonly Sentence[]): readonly Block[] => (sentences.length === 0 ? [] : [{ kind: 'words', sentences }]);
