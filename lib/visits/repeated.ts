import type { AmountMeasure, Measure } from '../contract/measures';
import { waldTest } from '../stats/cox/cox';
import { gee } from '../stats/regression/gee';
import { comparedGroups, valueAt, type AskedVisits, type AskedWindow } from './askedVisits';
import { baseline, hasBaseline } from './amounts';
import { notEstimable, tested, untested } from './estimates';
import { adjustedLabels, leftOutNote, modelRows, noReference, type FurtherColumn } from './modelRows';
import { signsOf, type Sign } from './signs';
import type { RepeatedMeasure } from './visitsResult';

/** Every measure that at least two visits after the procedure assessed, all its visits in one model. */
export function repeatedMeasures(asked: AskedVisits): readonly RepeatedMeasure[] {
  if (asked.groups.length < 2) return [];
  const signs = new Map(signsOf(asked).map((s) => [s.measure, s]));
  return asked.measures.flatMap((m) => {
    const sign = m.kind === 'amount' ? undefined : signs.get(m.name);
    return m.kind === 'amount' || sign !== undefined ? repeatedMeasure(asked, m, sign) : [];
  });
}

function repeatedMeasure(asked: AskedVisits, measure: Measure, sign: Sign | undefined): readonly RepeatedMeasure[] {
  const { data: { procedures }, groups, reference, question: { confidence } } = asked, against = groups[reference]!.key;
  const value = (w: AskedWindow, p: number): number => valueAt(asked, measure.name, w.index, p);
  const fromBaseline = sign === undefined && hasBaseline(asked, measure as AmountMeasure);
  const before = (p: number): number => value(baseline, p);
  const procedure: number[] = [], at: AskedWindow[] = [];
  const windows = asked.windows.filter((w) => w.index !== baseline.index && procedures.group.some((_, p) => !Number.isNaN(value(w, p))));
  if (windows.length < 2) return [];
  for (let p = 0; p < procedures.size; ++p) {
    if (fromBaseline && Number.isNaN(before(p))) continue;
    for (const w of windows) if (!Number.isNaN(value(w, p))) { procedure.push(p); at.push(w); }
  }
  const later = windows.slice(1), compared = comparedGroups(asked);
  const further: FurtherColumn[] = [
    ...later.map((w): FurtherColumn => ({ name: w.label, valueOf: (row) => Number(at[row]!.index === w.index) })),
    ...(fromBaseline ? [{ name: 'before', valueOf: (row: number) => before(procedure[row]!) }] : []),
    // a column for each group at each visit: its coefficient is the difference there
    ...(sign === undefined ? compared.flatMap((g) => windows.map((w): FurtherColumn => ({ name: `${g.label} at ${w.label}`, valueOf: (row) => Number(procedures.group[procedure[row]!] === g.index && at[row]!.index === w.index) }))) : []),
  ];
  const rows = modelRows(asked, Int32Array.from(procedure), further, sign !== undefined), size = 1 + rows.names.length;
  const y = Float64Array.from(rows.kept, (row) => { const v = value(at[row]!, procedure[row]!); return sign === undefined ? v : Number(sign.has(v)); });
  const patient = Int32Array.from(rows.kept, (row) => procedures.patient[procedure[row]!]!);
  const fit = rows.ofReference === 0 ? notEstimable(noReference) : gee(y, { names: rows.names, values: rows.values, cluster: patient }, sign === undefined ? 'identity' : 'logit');
  const seenInReference = windows.map((w) => rows.kept.some((row) => at[row]!.index === w.index && procedures.group[procedure[row]!] === reference));
  const first = size - compared.length * windows.length;
  const placeOf = (k: number, w: number): number => (sign === undefined ? first + k * windows.length + w : 1 + k);
  const difference = (k: number, w: number) => {
    if (fit.status !== 'ok') return untested(fit.reason);
    if (sign === undefined && !seenInReference[w]!) return untested(noReference);
    const place = placeOf(k, w);
    return tested(fit.coefficient[place]!, fit.covariance[place * size + place]!, confidence, { ratio: sign !== undefined });
  };
  const ofGroups = compared.flatMap((_, k) => (sign === undefined ? windows.flatMap((__, w) => (seenInReference[w]! ? [placeOf(k, w)] : [])) : [1 + k]));
  const n = ofGroups.length;
  return [{
    measure: measure.name, label: measure.label, unit: measure.kind === 'amount' ? measure.unit : null,
    procedures: new Set(Array.from(rows.kept, (row) => procedure[row]!)).size,
    visits: rows.kept.length,
    patients: new Set(patient).size,
    correlation: fit.status === 'ok' ? fit.correlation : NaN,
    adjustedFor: [...(fromBaseline ? ['the value before the procedure'] : []), 'visit', ...adjustedLabels(asked)],
    differences: compared.flatMap((g, k) => (sign === undefined ? windows : [null]).map((w, i) => ({ group: g.key, against, window: w?.code ?? null, ...difference(k, i) }))),
    test: fit.status === 'ok'
      ? waldTest(Float64Array.from(ofGroups, (i) => fit.coefficient[i]!), Float64Array.from({ length: n * n }, (_, k) => fit.covariance[ofGroups[Math.floor(k / n)]! * size + ofGroups[k % n]!]!))
      : fit,
    notes: leftOutNote(procedure.length - rows.kept.length, 'visits'),
  }];
}
