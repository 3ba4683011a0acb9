/** Seeded random numbers, in as many streams as are wanted: sfc32 by Chris Doty-Humphrey (PractRand 0.94), warmed up with 15 rounds. */
export class RandomNumbers {
  #a: number;
  #b: number;
  #c = 0;
  #counter = 1;

  /** Whole numbers from 0 to 2³² − 1. */
  constructor(seed: number, stream: number) {
    this.#a = seed | 0;
    this.#b = stream | 0;
    for (let i = 0; i < 15; ++i) this.#word();
  }

  #word(): number {
    const out = (this.#a + this.#b + this.#counter) | 0;
    this.#counter = (this.#counter + 1) | 0;
    this.#a = this.#b ^ (this.#b >>> 9);
    this.#b = (this.#c + (this.#c << 3)) | 0;
    this.#c = (((this.#c << 21) | (this.#c >>> 11)) + out) | 0;
    return out >>> 0;
  }

  /** On the open interval (0, 1). */
  uniform(): number {
    return (this.#word() + 0.5) / 4294967296;
  }

  /** Mean 0, variance 1: Box & Muller 1958, Ann Math Stat 29:610. */
  normal(): number {
    return Math.sqrt(-2 * Math.log(this.uniform())) * Math.cos(2 * Math.PI * this.uniform());
  }

  /** An index of `weights`, drawn in proportion to them. */
  index(weights: Float64Array): number {
    let sum = 0;
    for (const w of weights) sum += w;
    let left = this.uniform() * sum;
    for (let k = 0; k < weights.length; ++k) if ((left -= weights[k]!) < 0) return k;
    return weights.length - 1;
  }
}
