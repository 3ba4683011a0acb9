import type { Mapping } from '../../../lib/contract/mapping';
import type { ExtractFile } from '../../../lib/intake/extractFile';
import { RandomStream } from '../../../sample-registry/random';
import { byteMutations } from './byteMutations';
import { containerMutations, fileOf } from './containerMutations';
import { gridMutations } from './gridMutations';
import { mappedMutations } from './mappedMutations';
import { bytesOf, csvOf, seedExtract, type Grids } from './seedExtract';

/** Files made wrong in one way. */
export interface FuzzCase {
  readonly mutation: string;
  readonly files: readonly ExtractFile[];
  readonly movesKeys: boolean;
  readonly mapping?: Mapping;
  readonly wrong: number; // files that differ from what they were made from; an archive is one
}

export const mutationNames: readonly string[] = [...Object.keys(byteMutations), ...Object.keys(gridMutations), ...Object.keys(containerMutations), ...Object.keys(mappedMutations)];

const purpose = 71; // a stream of random numbers of its own
const extracts = new Map<number, Grids>();

/** A few different extracts, each made once; follow-up visits, of which there are many columns, only in one of them. */
function extractOf(seed: number): Grids {
  let grids = extracts.get(seed);
  if (grids === undefined) {
    const all = seedExtract(seed);
    extracts.set(seed, grids = seed === 1 ? all : new Map([...all].filter(([table]) => table !== 'followups')));
  }
  return grids;
}

/** The case of a number: the same for the same seed. The mutations take turns. */
export async function fuzzCase(seed: number, index: number): Promise<FuzzCase> {
  const random = new RandomStream(seed, purpose, index), mutation = mutationNames[index % mutationNames.length]!;
  const grids = extractOf(1 + random.integer(5));
  const byte = byteMutations[mutation], grid = gridMutations[mutation], mapped = mappedMutations[mutation];
  if (mapped !== undefined) return { mutation, movesKeys: false, wrong: 1, ...await mapped(grids, random) };
  if (byte === undefined && grid === undefined) return { mutation, files: containerMutations[mutation]!(grids, random), movesKeys: false, wrong: 1 };
  let changed = grids;
  for (let n = 1 + random.integer(3); n > 0 && grid !== undefined; n--) changed = grid.change(changed, random);
  const target = random.chance(0.5) ? 'procedures' : random.one([...grids.keys()]), spoils = (table: string): boolean => byte !== undefined && (table === target || random.chance(0.2));
  const files = [...changed].map(([table, found]) => fileOf(`${table}.csv`, spoils(table) ? byte!(bytesOf(csvOf(found)), random) : bytesOf(csvOf(found))));
  const before = new Map([...grids].map(([table, found]) => [`${table}.csv`, csvOf(found)]));
  const after = await Promise.all(files.map(async ({ name, content }) => [name, await content.text()] as const));
  const wrong = after.filter(([name, text]) => text !== before.get(name)).length + before.size - after.length;
  return { mutation, files, movesKeys: grid?.movesKeys === true, wrong };
}
