import { describe, expect, it } from 'vitest';
import { openedAhead } from '../../app/worker/openedAhead';
import type { LoadingDatabase } from '../../lib/engine/database';
import { openNodeDatabase } from '../../lib/engine/node';

/** Counts what is opened, and keeps how each would tell that it has failed. */
function counted() {
  const opened: LoadingDatabase[] = [], losses: (() => void)[] = [];
  const open = async (onLost: () => void): Promise<LoadingDatabase> => {
    losses.push(onLost);
    const database = await openNodeDatabase();
    opened.push(database);
    return database;
  };
  return { opened, losses, open };
}

describe('a database opened while a person looks at files', () => {
  it('is one, however often they look, and the load gets it; the next load opens its own', async () => {
    const { opened, open } = counted(), ahead = openedAhead(open);
    ahead.prepare();
    ahead.prepare();
    const first = await ahead.take(), second = await ahead.take();
    expect(opened).toEqual([first, second]);
    expect(first).not.toBe(second);
    await Promise.all(opened.map((database) => database.close()));
  });

  it('is not loaded into once it has failed', async () => {
    const { opened, losses, open } = counted(), ahead = openedAhead(open);
    ahead.prepare();
    await expect.poll(() => opened.length).toBe(1);
    losses[0]!();
    expect(await ahead.take()).toBe(opened[1]);
    losses[1]!(); // of one that is taken, its load hears
    await Promise.all(opened.map((database) => database.close()));
  });

  it('that could not be opened is opened anew for the load, which says why if it fails again', async () => {
    let tries = 0;
    const ahead = openedAhead(() => Promise.reject(new Error(`try ${++tries}`)));
    ahead.prepare();
    await expect.poll(() => tries).toBe(1);
    await new Promise((resolve) => { setTimeout(resolve, 0); });
    await expect(ahead.take()).rejects.toThrow('try 2');
  });
});
