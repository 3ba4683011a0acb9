import { approachCodes, codeLists, fixationCodes, indicationCodes, joints, labelOf, procedureClassCodes, reasonCodes, type Code, type Joint } from '../../contract/codes';
import { quoteName, sql, type Database } from '../../engine/database';
import { benjaminiHochberg } from '../../stats/benjaminiHochberg';
import { chiSquareUpperTail } from '../../stats/distributions/chiSquare';
import type { Share } from '../share';

/** A coded field of one joint over the years: how often it says `other` and how often nothing. */
export interface CodesByYear {
  readonly field: string;
  readonly label: string;
  readonly joint: Joint;
  readonly other: readonly Share[] | null; // by year; null: the list has no such code
  readonly notRecorded: readonly Share[];
}

/** Between two years that follow each other, the shares of the codes changed by more than chance, and by enough to matter. */
export interface SuddenChange {
  readonly field: string;
  readonly label: string;
  readonly joint: Joint;
  readonly year: number; // the later one
  readonly code: string; // whose share changed most, in words
  readonly before: Share;
  readonly after: Share;
  readonly adjustedP: number;
}

export interface Drift {
  readonly years: readonly number[];
  readonly fields: readonly CodesByYear[];
  readonly changes: readonly SuddenChange[]; // largest change first
  readonly compared: number; // pairs of years, over which false findings are controlled
}

const falseDiscoveryRate = 0.01, smallestChange = 0.1, smallestChangeOfGaps = 0.05, fewest = 50, leastExpected = 5;
const notRecorded = 'not recorded';

interface CodedField { readonly field: string; readonly label: string; readonly codes: readonly Code[]; readonly other: string | null; readonly from: 'followup' | 'revisions' }
const asa: readonly Code[] = ['1', '2', '3', '4', '5'].map((code) => ({ code, label: `grade ${code}` }));
const coded: readonly CodedField[] = [
  { field: 'class', label: 'Class', codes: procedureClassCodes, other: null, from: 'followup' },
  { field: 'indication', label: 'Indication', codes: indicationCodes, other: 'other_indication', from: 'followup' },
  { field: 'sex', label: 'Sex', codes: codeLists.sex, other: null, from: 'followup' },
  { field: 'asa', label: 'ASA grade', codes: asa, other: null, from: 'followup' },
  { field: 'approach', label: 'Approach', codes: approachCodes, other: 'other_approach', from: 'followup' },
  { field: 'proximal_fixation', label: 'Proximal fixation', codes: fixationCodes, other: null, from: 'followup' },
  { field: 'distal_fixation', label: 'Distal fixation', codes: fixationCodes, other: null, from: 'followup' },
  { field: 'reason', label: 'Reason for first revision', codes: reasonCodes, other: 'other_reason', from: 'revisions' },
];

/** How codes drift over the years, and where they change from one year to the next. Years of first revisions are those of the revision. */
export async function drift(database: Database): Promise<Drift> {
  const counted: { readonly field: CodedField; readonly joint: Joint; readonly byYear: ReadonlyMap<number, ReadonlyMap<string, number>> }[] = [];
  const years = new Set<number>();
  for (const field of coded) {
    const at = field.from === 'followup' ? 'year::INTEGER' : "year(DATE '1970-01-01' + procedure_day + exit_day)::INTEGER";
    const rows = await database.query(sql(`SELECT joint::VARCHAR AS joint, ${at} AS at_year, ${quoteName(field.field)}::VARCHAR AS code, count(*)::INTEGER AS n
      FROM followup WHERE joint IS NOT NULL ${field.from === 'revisions' ? "AND ending = 'revision'" : ''} GROUP BY 1, 2, 3 ORDER BY 1, 2, 3`));
    const joint = rows.texts('joint'), year = rows.numbers('at_year'), code = rows.texts('code'), n = rows.numbers('n');
    for (const one of joints) {
      const byYear = new Map<number, Map<string, number>>();
      joint.forEach((of, i) => {
        if (of !== one) return;
        years.add(year[i]!);
        const counts = byYear.get(year[i]!) ?? new Map<string, number>();
        byYear.set(year[i]!, counts.set(code[i] ?? notRecorded, n[i]!));
      });
      if (byYear.size > 0) counted.push({ field, joint: one, byYear });
    }
  }
  const inOrder = [...years].sort((a, b) => a - b);
  const pairs = counted.flatMap(({ field, joint, byYear }) => inOrder.slice(1).flatMap((year) => {
    const before = byYear.get(year - 1), after = byYear.get(year);
    const compared = before === undefined || after === undefined ? null : changeBetween(before, after);
    return compared === null ? [] : [{ field: field.field, label: field.label, joint, year, ...compared, code: compared.code === notRecorded ? notRecorded : labelOf(field.codes, compared.code), gap: compared.code === notRecorded || compared.code === field.other }];
  }));
  const adjusted = benjaminiHochberg(pairs.map(({ p }) => p));
  const changes = pairs.map((pair, i) => ({ pair, adjustedP: adjusted[i]! }))
    .filter(({ pair: { before, after, gap }, adjustedP }) => adjustedP <= falseDiscoveryRate && difference(before, after) >= (gap ? smallestChangeOfGaps : smallestChange))
    .sort((a, b) => difference(b.pair.before, b.pair.after) - difference(a.pair.before, a.pair.after))
    .map(({ pair: { field, label, joint, year, code, before, after }, adjustedP }): SuddenChange => ({ field, label, joint, year, code, before, after, adjustedP }));
  return {
    years: inOrder, changes, compared: pairs.length,
    fields: counted.map(({ field, joint, byYear }) => {
      const shares = (code: string): readonly Share[] => inOrder.map((year) => ({ count: byYear.get(year)?.get(code) ?? 0, of: total(byYear.get(year)) }));
      return { field: field.field, label: field.label, joint, other: field.other === null ? null : shares(field.other), notRecorded: shares(notRecorded) };
    }),
  };
}

const total = (counts: ReadonlyMap<string, number> | undefined): number => [...(counts?.values() ?? [])].reduce((sum, n) => sum + n, 0);
const difference = (before: Share, after: Share): number => Math.abs(after.count / after.of - before.count / before.of);

/**
 * χ² test of the codes of two years (Pearson 1900), rare ones taken together until five are expected of each, and the code whose share changed most.
 * Null where a year has fewer than 50 records or nothing can be compared.
 */
export function changeBetween(before: ReadonlyMap<string, number>, after: ReadonlyMap<string, number>): { readonly p: number; readonly code: string; readonly before: Share; readonly after: Share } | null {
  const n0 = total(before), n1 = total(after);
  if (n0 < fewest || n1 < fewest) return null;
  const all = [...new Set([...before.keys(), ...after.keys()])].map((code) => ({ code, a: before.get(code) ?? 0, b: after.get(code) ?? 0 }));
  const smaller = Math.min(n0, n1) / (n0 + n1), isRare = ({ a, b }: { readonly a: number; readonly b: number }): boolean => (a + b) * smaller < leastExpected;
  const rare = all.filter(isRare), common = all.filter((cell) => !isRare(cell));
  const rest = { code: '', a: rare.reduce((sum, { a }) => sum + a, 0), b: rare.reduce((sum, { b }) => sum + b, 0) };
  const cells = rest.a + rest.b > 0 ? [...common, rest] : common;
  if (cells.length < 2) return null;
  const chisq = cells.reduce((sum, { a, b }) => {
    const e0 = ((a + b) * n0) / (n0 + n1), e1 = a + b - e0;
    return sum + (a - e0) ** 2 / e0 + (b - e1) ** 2 / e1;
  }, 0);
  const most = all.toSorted((x, y) => Math.abs(y.b / n1 - y.a / n0) - Math.abs(x.b / n1 - x.a / n0))[0]!;
  return { p: chiSquareUpperTail(chisq, cells.length - 1), code: most.code, before: { count: most.a, of: n0 }, after: { count: most.b, of: n1 } };
}
