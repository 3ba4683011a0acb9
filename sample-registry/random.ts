/**
 * A stream of random numbers for one entity. Every patient, procedure and hospital has its own, so that neither the order of work
 * nor the size of a chunk changes what is drawn.
 * The generator is sfc32 by Chris Doty-Humphrey (PractRand 0.94), seeded with three words and warmed up with 15 rounds.
 */
export class RandomStream {
  private a: number;
  private b: number;
  private c: number;
  private counter = 1;

  /** All three are integers from 0 to 2³² − 1. */
  constructor(seed: number, purpose: number, index: number) {
    this.a = seed | 0;
    this.b = purpose | 0;
    this.c = index | 0;
    for (let i = 0; i < 15; i++) this.word();
  }

  private word(): number {
    const out = (this.a + this.b + this.counter) | 0;
    this.counter = (this.counter + 1) | 0;
    this.a = this.b ^ (this.b >>> 9);
    this.b = (this.c + (this.c << 3)) | 0;
    this.c = (((this.c << 21) | (this.c >>> 11)) + out) | 0;
    return out >>> 0;
  }

  /** Uniform on the open interval (0, 1). */
  uniform(): number {
    return (this.word() + 0.5) / 4294967296;
  }

  chance(probability: number): boolean {
    return this.uniform() < probability;
  }

  /** 0 … n − 1. */
  integer(n: number): number {
    return Math.floor(this.uniform() * n);
  }

  /** Mean 1. */
  exponential(): number {
    return -Math.log(this.uniform());
  }

  /** Mean 0, standard deviation 1: Box & Muller (1958). */
  normal(): number {
    return Math.sqrt(-2 * Math.log(this.uniform())) * Math.cos(2 * Math.PI * this.uniform());
  }

  /** Mean 1: a multiplier whose logarithm has the given standard deviation. */
  logNormal(sd: number): number {
    return Math.exp(sd * this.normal() - (sd * sd) / 2);
  }

  /** An index, drawn in proportion to the weights. */
  weighted(weights: readonly number[]): number {
    let left = this.uniform() * weights.reduce((sum, w) => sum + w, 0);
    for (let i = 0; i < weights.length - 1; i++) {
      left -= weights[i]!;
      if (left < 0) return i;
    }
    return weights.length - 1;
  }

  /** One of the items, each as likely. */
  one<T>(items: readonly T[]): T {
    return items[this.integer(items.length)]!;
  }
}

/** What a stream is for: a new draw in one never shifts those of another. */
export const purposes = { network: 1, patient: 2, procedure: 3, outcome: 4, visits: 5, visitDetails: 6 } as const;
