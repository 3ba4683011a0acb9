import fc from 'fast-check';
import { expect, it } from 'vitest';
import { fieldsOf } from '../../lib/contract/fields';
import type { TableName } from '../../lib/contract/tables';
import { sql } from '../../lib/engine/database';
import type { ExtractFile } from '../../lib/intake/extractFile';
import { loadExtract } from '../../lib/engine/loadExtract';
import { engines } from './engines';
import { csv, smallExtract, textFile, type SmallExtract } from './smallExtract';

const day = (n: number): string => new Date(Date.UTC(2010, 0, 1) + n * 86_400_000).toISOString().slice(0, 10);
const closing = 1500;

interface Primary { id: string; patient: string; side: string; on: number; from: number | null; to: number | null }
interface Reoperation { id: string; of: Primary; named: boolean; on: number; kind: 'major' | 'minor' | 'reoperation' }
interface World { primaries: Primary[]; reoperations: Reoperation[]; deaths: Map<string, number> }

/** Patients with one or two shoulders replaced, re-operated, gone abroad or dead on days close enough to collide. Everything is consistent. */
const world = fc.array(fc.record({
  sides: fc.constantFrom(['left'], ['right'], ['left', 'right']),
  dies: fc.option(fc.integer({ min: 0, max: 40 })),
  procedures: fc.array(fc.record({
    on: fc.oneof(fc.integer({ min: 0, max: 20 }), fc.integer({ min: closing - 5, max: closing })),
    from: fc.option(fc.integer({ min: -5, max: 10 }), { freq: 4 }),
    to: fc.option(fc.integer({ min: 10, max: 30 }), { freq: 4 }),
    reoperations: fc.array(fc.record({ after: fc.integer({ min: 0, max: 12 }), kind: fc.constantFrom('major', 'minor', 'reoperation'), named: fc.boolean() }), { maxLength: 4 }),
  }), { minLength: 2, maxLength: 2 }),
}), { minLength: 300, maxLength: 300 }).map((patients): World => {
  const primaries: Primary[] = [], reoperations: Reoperation[] = [], deaths = new Map<string, number>();
  patients.forEach(({ sides, dies, procedures }, i) => {
    const patient = `patient-${i}`;
    sides.forEach((side, s) => {
      const { on, from, to, reoperations: again } = procedures[s]!;
      const primary = { id: `${patient}-${side}`, patient, side, on, from: from === null ? null : on + from, to: to === null ? null : on + to };
      primaries.push(primary);
      for (const { after, kind, named } of again) {
        reoperations.push({ id: `r${reoperations.length}`, of: primary, named, on: Math.min(on + after, closing), kind });
      }
    });
    const last = Math.max(...primaries.concat().filter((p) => p.patient === patient).map((p) => p.on),
      ...reoperations.filter((r) => r.of.patient === patient).map((r) => r.on));
    if (dies !== null && last + dies <= closing) deaths.set(patient, last + dies);
  });
  return { primaries, reoperations, deaths };
});

const asExtract = ({ primaries, reoperations, deaths }: World): SmallExtract => ({
  registry: [{ closing_date: day(closing), deaths_closing_date: day(closing) }],
  procedures: primaries.map((p) => ({
    procedure_id: p.id, patient_id: p.patient, side: p.side, procedure_date: day(p.on),
    follow_up_start: p.from === null ? null : day(p.from), follow_up_end: p.to === null ? null : day(p.to),
  })),
  revisions: reoperations.map((r) => ({
    revision_id: r.id, procedure_id: r.named ? r.of.id : null, patient_id: r.of.patient, side: r.of.side, revision_date: day(r.on), kind: r.kind,
  })),
  deaths: [...deaths].map(([patient_id, on]) => ({ patient_id, death_date: day(on) })),
});

/** Follow-up the slow and obvious way: day by day, one procedure after the other. Null where the procedure was never at risk. */
function obvious({ reoperations, deaths }: World, p: Primary): string | null {
  const revisions = reoperations.filter((r) => r.of === p && r.kind !== 'reoperation');
  for (let on = p.on; ; on++) {
    const today = revisions.filter((r) => r.on === on);
    const kind = today.some((r) => r.kind === 'major') ? 'major' : 'minor';
    const ending = today.length > 0 ? 'revision' : deaths.get(p.patient) === on ? 'death' : on === p.to || on === closing ? 'censored' : null;
    if (ending === null) continue;
    const entry = p.from !== null && p.from > p.on ? p.from - p.on : null;
    if (entry !== null && entry >= on - p.on) return null;
    return [on - p.on, ending, ending === 'revision' ? kind : null, entry].join(' ');
  }
}

/** A failure says seed and difference; the 300 patients behind it can be had from the seed. */
async function check<T>(property: fc.IAsyncProperty<T>, numRuns: number): Promise<void> {
  const { failed, seed, errorInstance } = await fc.check(property, { numRuns, endOnFailure: true });
  if (failed) throw new Error(`seed ${seed}`, { cause: errorInstance });
}

async function followUp(files: readonly ExtractFile[]): Promise<Map<string, string>> {
  const result = await loadExtract(engines[0].open, files);
  if (result.status === 'refused') throw new Error(result.problems[0]?.message);
  const { database } = result.extract;
  const rows = await database.query(sql('SELECT p.procedure_id AS id, exit_day, ending, f.kind, entry_day FROM followup f JOIN procedures p USING (procedure)'));
  const parts = ['exit_day', 'ending', 'kind', 'entry_day'].map((name) => rows.texts(name));
  await database.close();
  return new Map(rows.texts('id').map((id, i) => [id ?? '', parts.map((column) => column[i]).join(' ')]));
}

it('agrees with follow-up worked out day by day', async () => {
  await check(fc.asyncProperty(world, async (w) => {
    const expected = new Map(w.primaries.flatMap((p) => {
      const line = obvious(w, p);
      return line === null ? [] : [[p.id, line]];
    }));
    expect(await followUp(smallExtract(asExtract(w)))).toEqual(expected);
  }), 12);
}, 300_000);

it('the order of records in the files changes nothing', async () => {
  await check(fc.asyncProperty(world, fc.infiniteStream(fc.double({ noNaN: true, min: 0, max: 1 })), async (w, random) => {
    const shuffled = Object.fromEntries(Object.entries(asExtract(w)).map(([table, rows]) => {
      const keyed = rows.map((row) => ({ row, key: random.next().value as number }));
      return [table, keyed.sort((a, b) => a.key - b.key).map(({ row }) => row)];
    }));
    expect(new Map([...await followUp(smallExtract(shuffled))].sort())).toEqual(new Map([...await followUp(smallExtract(asExtract(w)))].sort()));
  }), 4);
}, 300_000);

const garbage = fc.constantFrom(null, '', ' ', '0', '-1', '999', '1e9', 'NaN', 'x', '2011-02-30', '2012-01-01', '1999-01-01', '2030-01-01', 'left', 'hip', 'major', "'; DROP TABLE followup; --", '=1+1', '"', 'ü', 'patient-1', 'patient-1-left');
const spot = fc.record({ table: fc.constantFrom<TableName>('procedures', 'revisions', 'deaths', 'components', 'models'), row: fc.nat(50), field: fc.nat(30), value: garbage });

it('whatever stands in a cell: every record is accounted for, and every kept procedure is followed up', async () => {
  const base = asExtract(fc.sample(world, { numRuns: 1, seed: 1 })[0]!);
  const good: SmallExtract = {
    ...base, components: base.procedures?.map(({ procedure_id }) => ({ procedure_id: procedure_id ?? null })) ?? [],
    models: [{ model_code: 'G01', role: 'glenoid', design_class: 'all_poly_pegged' }, { model_code: 'G02', role: 'glenoid', design_class: 'metal_backed' }],
  };
  await check(fc.asyncProperty(fc.array(spot, { minLength: 1, maxLength: 40 }), async (spots) => {
    const rows = Object.fromEntries(Object.entries(good).map(([table, all]) => [table, all.map((row) => ({ ...row }))])) as Record<TableName, Record<string, string | number | null>[]>;
    for (const { table, row, field, value } of spots) {
      const names = fieldsOf(table).map(({ name }) => name);
      const target = rows[table][row % rows[table].length];
      if (target !== undefined) target[names[field % names.length] ?? ''] = value;
    }
    const result = await loadExtract(engines[0].open, smallExtract(rows));
    if (result.status === 'refused') throw new Error(result.problems[0]?.message);
    for (const { table, read, kept, setAside } of result.report.tables) {
      expect([table, read]).toEqual([table, table in rows ? rows[table].length : table === 'registry' ? 1 : 0]);
      expect([table, read]).toEqual([table, kept + setAside]);
    }
    const followed = await result.extract.database.query(sql('SELECT count(*)::INTEGER AS n FROM followup'));
    expect(followed.numbers('n')[0]).toBe(result.report.tables[0]?.kept);
    await result.extract.database.close();
  }), 25);
}, 300_000);

it('whatever the bytes of a file: it is loaded or refused with a message, never anything else', async () => {
  const [procedures] = smallExtract({ procedures: [{ procedure_id: 'p1', patient_id: 'a' }, { procedure_id: 'p2', patient_id: 'b' }] });
  const text = csv('procedures', [{ procedure_id: 'p1', patient_id: 'a' }, { procedure_id: 'p2', patient_id: 'b' }]);
  await check(fc.asyncProperty(fc.array(fc.tuple(fc.nat(text.length), fc.uint8Array({ maxLength: 3 }))), async (edits) => {
    let bytes = [...new TextEncoder().encode(text)];
    for (const [at, put] of edits) bytes = [...bytes.slice(0, at), ...put, ...bytes.slice(at + 1)];
    const files = smallExtract({}).map((file) => (file.name === procedures?.name ? textFile(file.name, Uint8Array.from(bytes)) : file));
    const result = await loadExtract(engines[0].open, files);
    if (result.status === 'loaded') await result.extract.database.close();
    else expect(result.problems[0]?.message).toMatch(/^procedures\.csv/);
  }), 60);
}, 300_000);
