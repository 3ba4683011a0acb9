import { describe, expect, it } from 'vitest';
import { Question } from '@/lib/contract/question';
import { poolEstimates } from '@/lib/pooling/poolEstimates';
import { readEstimates } from '@/lib/pooling/readFiles';
import { reduceToEstimates } from '@/lib/pooling/reduceToEstimates';
import { loaded } from './fiveRegistries';
import { smallRegistry } from './smallRegistry';

const question = Question.parse({ compare: 'sex', reference: 'female', groups: ['female', 'male'], adjust: ['age'], cluster: 'hospital' });

/** What a registry tells of itself, all its procedures being at one hospital where so asked. */
async function told(name: string, seed: number, isOneHospital: boolean): Promise<string> {
  const files = await Promise.all(smallRegistry(name, seed).map(async ({ name: file, content }) => {
    const text = await content.text();
    return { name: file, content: new Blob([isOneHospital ? text.replaceAll(/Hospital-\d/g, 'Hospital-0') : text]) };
  }));
  const extract = await loaded(files);
  try {
    return JSON.stringify(await reduceToEstimates(extract, question, { smallest: 5 }));
  } finally {
    await extract.database.close();
  }
}

describe('a registry of one hospital among others', () => {
  it('has a standard error that cannot allow for hospitals, which goes with its estimate and is said of the mean', async () => {
    const texts = await Promise.all([told('of many', 1, false), told('of one', 2, true), told('of many more', 3, false)]);
    const files = (await readEstimates(texts.map((file, i) => ({ name: `${i}.json`, file })))).map(({ file }) => file), reason = 'all procedures belong to one cluster';
    expect(files.map(({ ratios }) => ratios.map((ratio) => (ratio.status === 'ok' ? ratio.ownLimits : ratio.reason)))).toEqual([[undefined], [reason], [undefined]]);
    const [{ registries, notes }] = poolEstimates(files) as [ReturnType<typeof poolEstimates>[number]];
    expect(registries).toHaveLength(3);
    expect(notes).toEqual([`The standard error of Registry of one does not allow for hospitals: ${reason}.`]);
  });
});
