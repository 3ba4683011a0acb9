/** What was worked out is kept until it takes more than `mostBytes`; then what was used longest ago goes first. */
export interface RecentlyUsed {
  /** What is kept under the key, or else what `make` gives. What fails is not kept. */
  get<T>(key: string, make: () => Promise<T>, bytesOf: (value: T) => number): Promise<T>;
  has(key: string): boolean;
}

export function recentlyUsed(mostBytes: number): RecentlyUsed {
  const kept = new Map<string, { readonly value: Promise<unknown>; bytes: number }>();
  let total = 0;
  const drop = (key: string): void => {
    total -= kept.get(key)?.bytes ?? 0;
    kept.delete(key);
  };
  return {
    has: (key) => kept.has(key),
    async get<T>(key: string, make: () => Promise<T>, bytesOf: (value: T) => number): Promise<T> {
      const known = kept.get(key);
      if (known !== undefined) {
        kept.delete(key);
        kept.set(key, known); // last in order
        return known.value as Promise<T>; // one key has one kind of value
      }
      const entry = { value: make(), bytes: 0 };
      kept.set(key, entry);
      try {
        const value = await entry.value;
        if (kept.get(key) !== entry) return value;
        entry.bytes = bytesOf(value);
        total += entry.bytes;
        for (const oldest of kept.keys()) {
          if (total <= mostBytes) break;
          if (oldest !== key) drop(oldest);
        }
        return value;
      } catch (error) {
        if (kept.get(key) === entry) drop(key);
        throw error;
      }
    },
  };
}
