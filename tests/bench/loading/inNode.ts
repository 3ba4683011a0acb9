import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { Mapping } from '../../../lib/contract/mapping';
import { loadExtract } from '../../../lib/engine/loadExtract';
import { openNodeDatabase } from '../../../lib/engine/node';
import { readExtractFiles } from '../../../lib/engine/nodeFiles';

// Loads a folder, by its mapping where it has one, in a process of its own: seconds and the most memory it held, as JSON.
const folder = process.argv[2] ?? '', file = join(folder, 'mapping.json');
const mapping = existsSync(file) ? Mapping.parse(JSON.parse(readFileSync(file, 'utf8'))) : undefined;
const files = (await readExtractFiles(folder)).filter(({ name }) => name !== 'mapping.json');
const started = performance.now();
const result = await loadExtract(openNodeDatabase, files, { mapping });
const seconds = (performance.now() - started) / 1000;
if (result.status === 'refused') throw new Error(result.problems[0]?.message);
const procedures = result.report.tables.find(({ table }) => table === 'procedures');
if (procedures === undefined || procedures.kept === 0) throw new Error('no procedure was kept');
await result.extract.database.close();
process.stdout.write(JSON.stringify({ seconds, peak: process.resourceUsage().maxRSS * 1024, procedures: procedures.kept }));
