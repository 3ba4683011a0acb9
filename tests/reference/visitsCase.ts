import { casesOf } from './fixture';

type Row = readonly number[];
interface Shares { readonly counts: readonly Row[]; readonly percent: readonly Row[]; readonly points: readonly Row[] }
interface Seen extends Shares { readonly window: string; readonly bothSides: Pick<Shares, 'percent' | 'points'> }
/** What `sampleVisits.R` records of a comparison. Rows are estimate, lower and upper limit unless they say otherwise; groups in their order, differences against the reference. */
export interface VisitsCase {
  readonly name: string;
  readonly input: { readonly version: string; readonly important: number; readonly question: object };
  readonly expected: {
    readonly groups: Row;
    readonly due: readonly { readonly window: string; readonly counts: readonly Row[] }[];
    readonly adaptation: readonly Seen[];
    readonly head: Seen;
    readonly zone: Seen;
    readonly ancova: { readonly estimate: readonly Row[]; readonly rows: number; readonly change: readonly Row[] };
    readonly important: Shares & { readonly lost: readonly Row[] };
    readonly tendon: { readonly counts: readonly Row[]; readonly odds: readonly Row[] };
    readonly pain: { readonly rows: number; readonly estimate: readonly Row[]; readonly correlation: number; readonly order: readonly string[] };
    readonly turnbull: readonly { readonly n: number; readonly share: Row; readonly slow: Readonly<Record<'day' | 'share' | 'lower' | 'upper', Row>> }[];
    readonly landmark: { readonly n: number; readonly events: number; readonly ratio: Row };
    readonly varying: { readonly events: number; readonly ratio: Row };
    readonly revision: { readonly byFiveYears: readonly Row[]; readonly ratios: readonly Row[] };
  };
}

export const visitsCases = casesOf('sampleVisits') as readonly VisitsCase[];
