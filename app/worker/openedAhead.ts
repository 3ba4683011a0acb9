import type { LoadingDatabase } from '../../lib/engine/database';

/** A database that waits to be loaded into: opening one takes half a second, in which a person who looks at the files waits for nothing. */
export interface OpenedAhead {
  /** Opens one, unless one waits. */
  readonly prepare: () => void;
  /** The one that waits, or a new one. */
  readonly take: () => Promise<LoadingDatabase>;
}

/** @param open tells by the function that it is given when the database has failed; one that waits is forgotten then. */
export function openedAhead(open: (onLost: () => void) => Promise<LoadingDatabase>): OpenedAhead {
  let waiting: Promise<LoadingDatabase> | null = null;
  const opened = (): Promise<LoadingDatabase> => {
    const database: Promise<LoadingDatabase> = open(() => { forget(database); });
    database.catch(() => { forget(database); });
    return database;
  };
  const forget = (database: Promise<LoadingDatabase>): void => { if (waiting === database) waiting = null; };
  return {
    prepare: () => { waiting ??= opened(); },
    take: () => {
      const database = waiting ?? opened();
      waiting = null;
      return database;
    },
  };
}
