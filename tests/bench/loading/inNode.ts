import { loadExtract } from '../../../lib/engine/loadExtract';
import { openNodeDatabase } from '../../../lib/engine/node';
import { readExtractFiles } from '../../../lib/engine/nodeFiles';

// Loads a folder in a process of its own: seconds and the most memory it held, as JSON.
const started = performance.now();
const result = await loadExtract(openNodeDatabase, await readExtractFiles(process.argv[2] ?? ''));
const seconds = (performance.now() - started) / 1000;
if (result.status === 'refused') throw new Error(result.problems[0]?.message);
await result.extract.database.close();
process.stdout.write(JSON.stringify({ seconds, peak: process.resourceUsage().maxRSS * 1024 }));
