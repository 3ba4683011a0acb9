import { writeFile } from 'node:fs/promises';
import { basename } from 'node:path';
import { parseArgs } from 'node:util';
import type { RegistryCounts } from '../contract/registryCounts';
import { poolCounts } from '../pooling/poolCounts';
import { poolEstimates } from '../pooling/poolEstimates';
import { poolingCautions } from '../pooling/poolingCautions';
import { NotPoolable, readCounts, readEstimates, type Named } from '../pooling/readFiles';
import { InputError } from './inputError';
import { toJson } from './json';
import { existingText } from './questionFile';

const help = `Pools files that npm run reduce wrote, one of each registry. JSON goes to standard output, progress to standard error.

  npm run -s pool -- FILE FILE …
  npm run -s pool -- --estimates FILE FILE …

  FILE                counts: curves of all registries together and of each, with numbers at risk; the log-rank test and the Cox model with a
                      baseline hazard for each registry. All files must answer the same question, each registry once
  --estimates         the files hold estimates: random-effects meta-analysis of the log hazard ratios
  --out FILE          writes the JSON there instead

What is printed is not protected against small counts. Do not pass it on.
`;

/** What the files say together. `progress` gets short lines for a person who waits. */
export async function poolForm(args: readonly string[], progress: (line: string) => void): Promise<string> {
  const { values, positionals } = parse(args);
  if (values.help === true) return help;
  if (positionals.length === 0) throw new InputError('name the files to pool; --help says how');
  const texts = await Promise.all(positionals.map(async (path): Promise<Named<string>> => ({ name: basename(path), file: await existingText(path) })));
  const text = `${toJson(await poolable(() => (values.estimates === true ? pooledEstimates(texts) : pooledCounts(texts, progress))))}\n`;
  if (values.out === undefined) return text;
  await writeFile(values.out, text);
  return `${values.out}\n`;
}

const said = (files: readonly Named<RegistryCounts>[]) => files.map(({ name, file: { source, protection, holds } }) => ({ file: name, ...source, protection, holds }));

async function pooledCounts(texts: readonly Named<string>[], progress: (line: string) => void): Promise<object> {
  const files = await readCounts(texts), { question } = files[0]!.file;
  const parts = files.map(({ file }) => ({ registry: file.source.registry, reduced: file, withheldGroups: file.protection.days === 'exact' ? [] : file.protection.withheldGroups }));
  return { registries: said(files), cautions: poolingCautions(files.map(({ file }) => file)), ...await poolCounts(parts, question, { onProgress: ({ label }) => { progress(label); } }) };
}

async function pooledEstimates(texts: readonly Named<string>[]): Promise<object> {
  const files = (await readEstimates(texts)).map(({ file }) => file);
  return { question: files[0]!.question, registries: files.map(({ source, groups }) => ({ ...source, groups })), adjustedFor: files[0]!.adjustedFor, ratios: poolEstimates(files) };
}

async function poolable<T>(work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (error) {
    if (error instanceof NotPoolable) throw new InputError(error.message, { cause: error });
    throw error;
  }
}

function parse(args: readonly string[]) {
  try {
    return parseArgs({ args: [...args], options: { help: { type: 'boolean', short: 'h' }, estimates: { type: 'boolean' }, out: { type: 'string' } }, strict: true, allowPositionals: true });
  } catch (cause) {
    if (!(cause instanceof TypeError)) throw cause;
    throw new InputError(`${cause.message.split('. ')[0]!.replace(/\.$/, '')}; --help lists the options`, { cause });
  }
}
