import { roleCodes, type Role } from '../../contract/codes';
import { componentParts, procedureParts, type ComponentPart, type ProcedurePart, type Recorded } from '../../contract/recorded';
import { sql, type Database } from '../database';
import { componentColumn } from '../followupTable';

/** Counts what is recorded in `followup`. */
export async function countRecorded(database: Database): Promise<Recorded> {
  const known = (part: ProcedurePart): string => (part === 'patient' ? 'count(*) FILTER (WHERE patient_known)' : `count("${part}")`);
  const columns = roleCodes.flatMap(({ code }) => componentParts.map((part) => componentColumn(code, part)));
  const row = await database.query(sql(`SELECT count(*)::INTEGER AS procedures,
    ${procedureParts.map((part) => `${known(part)}::INTEGER AS "${part}"`).join(', ')},
    ${columns.map((column) => `count(${column})::INTEGER AS ${column}`).join(', ')},
    (count(*) FILTER (WHERE ending = 'revision'))::INTEGER AS first_revisions,
    (count(*) FILTER (WHERE ending = 'revision' AND kind <> 'unspecified'))::INTEGER AS with_kind,
    count(reason)::INTEGER AS with_reason, (count(*) FILTER (WHERE removed <> 0))::INTEGER AS with_removed FROM followup`));
  const ends = await database.query(sql('SELECT count(follow_up_end)::INTEGER AS n FROM procedures'));
  const count = (name: string): number => row.numbers(name)[0] ?? 0;
  const ofRole = (role: Role) => Object.fromEntries(componentParts.map((part) => [part, count(componentColumn(role, part))])) as Record<ComponentPart, number>;
  const roles = roleCodes.map(({ code }) => code).filter((role) => componentParts.some((part) => count(componentColumn(role, part)) > 0));
  return {
    procedures: count('procedures'),
    of: Object.fromEntries(procedureParts.map((part) => [part, count(part)])) as Record<ProcedurePart, number>,
    components: Object.fromEntries(roles.map((role) => [role, ofRole(role)])),
    followUpEnds: ends.numbers('n')[0] ?? 0,
    revisions: { first: count('first_revisions'), kind: count('with_kind'), reason: count('with_reason'), removed: count('with_removed') },
  };
}
