import type { z } from 'zod';

/** A parameter of an address and the field that it stands for: of the thing asked itself, or of one of its parts. */
export interface Parameter {
  readonly name: string;
  readonly of: string | null;
  readonly field: string;
  readonly kind: 'text' | 'number' | 'flag';
  readonly many: boolean;
}

/** Parameters by name, each with its field. */
export const one = (of: Parameter['of'], kind: Parameter['kind'], names: Readonly<Record<string, string>>): Parameter[] =>
  Object.entries(names).map(([name, field]) => ({ name, of, field, kind, many: false }));
/** A list is a parameter given several times. */
export const many = (of: Parameter['of'], kind: Parameter['kind'], names: Readonly<Record<string, string>>): Parameter[] =>
  one(of, kind, names).map((p) => ({ ...p, many: true }));

export type Fields = Readonly<Record<string, unknown>>;
const isFields = (value: unknown): value is Fields => typeof value === 'object' && value !== null && !Array.isArray(value);
const within = (fields: Fields, of: Parameter['of']): Fields => (of === null ? fields : isFields(fields[of]) ? fields[of] : {});

const written = (value: unknown): string => (typeof value === 'boolean' ? (value ? 'yes' : 'no') : String(value));

/** A malformed number or flag stays text, for the schema to refuse. */
function read(kind: Parameter['kind'], given: string): unknown {
  if (kind === 'number') return /^-?\d+(\.\d+)?$/.test(given) ? Number(given) : given;
  if (kind === 'flag') return given === 'yes' ? true : given === 'no' ? false : given;
  return given;
}

/** Writes what is not as usual; `always` names the parameters that are written anyway. */
export function writeParameters(into: URLSearchParams, all: readonly Parameter[], value: Fields, usual: Fields, always: readonly string[] = []): void {
  for (const { name, of, field, many: several } of all) {
    const [asked, asUsual] = [within(value, of)[field], within(usual, of)[field]];
    if (!always.includes(name) && JSON.stringify(asked) === JSON.stringify(asUsual)) continue;
    if (!several) into.append(name, asked === null ? '' : written(asked));
    else if (Array.isArray(asked)) (asked.length === 0 ? [''] : asked).forEach((item) => { into.append(name, written(item)); });
  }
}

/** Values of a parameter in the address; a list that is given once and empty holds none. */
const givenOf = (params: URLSearchParams, { name, many: several }: Parameter): readonly string[] => params.getAll(name).filter((value, _, { length }) => !several || value !== '' || length > 1);

/** What the address says of these parameters, for a schema to check. */
export function readParameters(params: URLSearchParams, all: readonly Parameter[]): Fields {
  const fields: Record<string, unknown> = {};
  const parts: Record<string, Record<string, unknown>> = {};
  for (const parameter of all) {
    const { name, of, field, kind, many: several } = parameter;
    if (!params.has(name)) continue;
    const given = givenOf(params, parameter), value = several ? given.map((v) => read(kind, v)) : given[0] === '' ? null : read(kind, given[0] ?? '');
    if (of === null) fields[field] = value;
    else (parts[of] ??= {})[field] = value;
  }
  return { ...fields, ...parts };
}

/** Values of a known parameter as they stand in the address. One that nobody knows may hold anything, an identifier as well: its value is never repeated. */
const told = (values: readonly string[]): string => values.map((value) => `“${value.replace(/^(.{40}).+$/su, '$1…')}”`).join(', ');

/** Parameters that nobody knows, and those given several times that take one value. */
export function strayParameters(params: URLSearchParams, all: readonly Parameter[]): readonly string[] {
  const known = new Map(all.map((p) => [p.name, p]));
  return [...new Set(params.keys())].flatMap((name) => {
    const parameter = known.get(name);
    if (parameter === undefined) return [`“${name}” is not a parameter of the address.`];
    return !parameter.many && params.getAll(name).length > 1 ? [`“${name}” stands in the address ${params.getAll(name).length} times (${told(params.getAll(name))}); it takes one value.`] : [];
  });
}

/** What a schema has against the address, by the names of its parameters and with the values that it refuses. */
export function addressProblems(error: z.ZodError | undefined, all: readonly Parameter[], params: URLSearchParams): readonly string[] {
  return (error?.issues ?? []).map(({ code, path, message }) => {
    const parameter = all.find((p) => (p.of === null ? p.field === path[0] : p.of === path[0] && p.field === path[1]));
    if (parameter === undefined) return `“${path.join('.')}” in the address: ${message}.`;
    const given = givenOf(params, parameter), place = path[parameter.of === null ? 1 : 2];
    const refused = (typeof place === 'number' ? given.slice(place, place + 1) : given).filter((value) => value !== '');
    const rule = code === 'invalid_type' && (parameter.kind !== 'text' || refused.length === 0) ? kindWords[parameter.kind] : message;
    return `“${parameter.name}” in the address${refused.length === 0 ? '' : ` is ${told(refused)}`}: ${rule}.`;
  });
}
const kindWords = { number: 'it has to be a number', flag: 'it has to be “yes” or “no”', text: 'it must not be empty' } as const;
