import { distinctRows } from './distinctRows';
import type { Regressors } from './regressors';

/** Estimating equations of one model at a parameter vector and a working correlation, all times the scale. Matrices are width × width. */
export interface Equations {
  readonly clusters: number;
  readonly at: (at: Float64Array, correlation: number) => { readonly bread: Float64Array; readonly score: Float64Array };
  readonly moments: (at: Float64Array) => { readonly correlation: number; readonly scale: number };
  /** Σ over clusters of the square of each one's score. */
  readonly meat: (at: Float64Array, correlation: number) => Float64Array;
}

/** What the inverse of an exchangeable correlation of m rows takes off the sum over all pairs. */
const shared = (correlation: number, m: number): number => correlation / (1 + (m - 1) * correlation);

/** Rows ordered by cluster; cluster c has rows `order[start[c]]` … `order[start[c + 1] − 1]`. Those of number −1 stand alone. */
function byCluster(cluster: Int32Array): { order: Int32Array; start: Int32Array } {
  const place = new Map<number, number>(), of = new Int32Array(cluster.length);
  let size = 0;
  cluster.forEach((c, i) => {
    let own = c < 0 ? undefined : place.get(c);
    if (own === undefined) {
      own = size++;
      if (c >= 0) place.set(c, own);
    }
    of[i] = own;
  });
  const start = new Int32Array(size + 1), next = new Int32Array(size), order = new Int32Array(cluster.length);
  of.forEach((c) => { start[c + 1]! += 1; });
  for (let c = 0; c < size; ++c) start[c + 1]! += start[c]!;
  next.set(start.subarray(0, size));
  of.forEach((c, i) => { order[next[c]!++] = i; });
  return { order, start };
}

function correlationOf(squares: number, products: number, pairs: number, rows: number) {
  const scale = squares / rows;
  return { scale, correlation: pairs === 0 || scale === 0 ? 0 : Math.min(0.99, products / pairs / scale) };
}

/** With the identity link everything but the residuals is a sum that is taken once, for each size of cluster. */
export function identityEquations(y: Float64Array, { x, width }: Regressors, cluster: Int32Array): Equations {
  const { order, start } = byCluster(cluster), clusters = start.length - 1, rows = y.length, square = width * width;
  const cross = new Float64Array(square), right = new Float64Array(width), ofSize = new Map<number, { cross: Float64Array; right: Float64Array }>();
  const sum = new Float64Array(width);
  const addSquare = (into: Float64Array, v: Float64Array, from: number): void => {
    for (let a = 0; a < width; ++a) { const w = v[from + a]!; for (let b = 0; b <= a; ++b) into[a * width + b]! += w * v[from + b]!; }
  };
  for (let c = 0; c < clusters; ++c) {
    const m = start[c + 1]! - start[c]!;
    let total = 0;
    sum.fill(0);
    for (let k = start[c]!; k < start[c + 1]!; ++k) {
      const i = order[k]!, row = i * width;
      addSquare(cross, x, row);
      total += y[i]!;
      for (let a = 0; a < width; ++a) {
        right[a]! += x[row + a]! * y[i]!;
        sum[a]! += x[row + a]!;
      }
    }
    let own = ofSize.get(m);
    if (!own) ofSize.set(m, (own = { cross: new Float64Array(square), right: new Float64Array(width) }));
    addSquare(own.cross, sum, 0);
    for (let a = 0; a < width; ++a) own.right[a]! += sum[a]! * total;
  }
  const residual = (at: Float64Array, i: number): number => { let r = y[i]!; for (let a = 0; a < width; ++a) r -= x[i * width + a]! * at[a]!; return r; };
  return {
    clusters,
    at(at, correlation) {
      const bread = cross.slice(), score = right.slice();
      for (const [m, own] of ofSize) {
        const share = shared(correlation, m);
        for (let k = 0; k < square; ++k) bread[k]! -= share * own.cross[k]!;
        for (let a = 0; a < width; ++a) score[a]! -= share * own.right[a]!;
      }
      fill(bread, width);
      for (let a = 0; a < width; ++a) for (let b = 0; b < width; ++b) score[a]! -= bread[a * width + b]! * at[b]!;
      return { bread: bread.map((v) => v / (1 - correlation)), score: score.map((v) => v / (1 - correlation)) };
    },
    moments(at) {
      let squares = 0, products = 0, pairs = 0;
      for (let c = 0; c < clusters; ++c) {
        const m = start[c + 1]! - start[c]!;
        let total = 0, own = 0;
        for (let k = start[c]!; k < start[c + 1]!; ++k) { const r = residual(at, order[k]!); total += r; own += r * r; }
        squares += own;
        products += (total * total - own) / 2;
        pairs += (m * (m - 1)) / 2;
      }
      return correlationOf(squares, products, pairs, rows);
    },
    meat(at, correlation) {
      const result = new Float64Array(square), score = new Float64Array(width);
      for (let c = 0; c < clusters; ++c) {
        const share = shared(correlation, start[c + 1]! - start[c]!);
        let total = 0;
        score.fill(0);
        sum.fill(0);
        for (let k = start[c]!; k < start[c + 1]!; ++k) {
          const i = order[k]!, r = residual(at, i);
          total += r;
          for (let a = 0; a < width; ++a) { const v = x[i * width + a]!; score[a]! += v * r; sum[a]! += v; }
        }
        for (let a = 0; a < width; ++a) score[a] = (score[a]! - share * sum[a]! * total) / (1 - correlation);
        addSquare(result, score, 0);
      }
      return fill(result, width);
    },
  };
}

/** With the logit link clusters that are alike in every row are taken together. */
export function logitEquations(y: Float64Array, { x, width }: Regressors, cluster: Int32Array): Equations {
  const { order, start } = byCluster(cluster), clusters = start.length - 1, { pattern, values, size } = distinctRows(x, width, y.length);
  const alike = new Map<string, { cells: Int32Array; weight: number }>(); // a cell: pattern · 2 + y
  for (let c = 0; c < clusters; ++c) {
    const cells = Int32Array.from(order.subarray(start[c], start[c + 1]), (i) => pattern[i]! * 2 + y[i]!).sort(), key = cells.join(' '), known = alike.get(key);
    if (known) known.weight += 1;
    else alike.set(key, { cells, weight: 1 });
  }
  const kinds = [...alike.values()], mean = new Float64Array(size), root = new Float64Array(size), sum = new Float64Array(width), own = new Float64Array(width);
  const setMeans = (at: Float64Array): void => {
    for (let p = 0; p < size; ++p) {
      let eta = 0;
      for (let a = 0; a < width; ++a) eta += values[p * width + a]! * at[a]!;
      mean[p] = 1 / (1 + Math.exp(-eta));
      root[p] = Math.sqrt(mean[p]! * (1 - mean[p]!));
    }
  };
  const pearson = (cell: number): number => ((cell & 1) - mean[cell >> 1]!) / root[cell >> 1]!;
  /** Calls back with each kind's score; adds to the bread where there is one. */
  const go = (correlation: number, bread: Float64Array | null, onKind: (score: Float64Array, weight: number) => void): void => {
    for (const { cells, weight } of kinds) {
      const share = shared(correlation, cells.length), times = weight / (1 - correlation);
      let total = 0;
      sum.fill(0);
      own.fill(0);
      for (const cell of cells) {
        const p = cell >> 1, r = pearson(cell), row = p * width;
        total += r;
        for (let a = 0; a < width; ++a) {
          const v = root[p]! * values[row + a]!;
          sum[a]! += v;
          own[a]! += v * r;
          if (bread) for (let b = 0; b <= a; ++b) bread[a * width + b]! += times * v * root[p]! * values[row + b]!;
        }
      }
      for (let a = 0; a < width; ++a) {
        own[a] = (own[a]! - share * sum[a]! * total) / (1 - correlation);
        if (bread) for (let b = 0; b <= a; ++b) bread[a * width + b]! -= times * share * sum[a]! * sum[b]!;
      }
      onKind(own, weight);
    }
  };
  return {
    clusters,
    at(at, correlation) {
      setMeans(at);
      const bread = new Float64Array(width * width), score = new Float64Array(width);
      go(correlation, bread, (of, weight) => { for (let a = 0; a < width; ++a) score[a]! += weight * of[a]!; });
      return { bread: fill(bread, width), score };
    },
    moments(at) {
      setMeans(at);
      let squares = 0, products = 0, pairs = 0;
      for (const { cells, weight } of kinds) {
        let total = 0, alone = 0;
        for (const cell of cells) { const r = pearson(cell); total += r; alone += r * r; }
        squares += weight * alone;
        products += (weight * (total * total - alone)) / 2;
        pairs += (weight * cells.length * (cells.length - 1)) / 2;
      }
      return correlationOf(squares, products, pairs, y.length);
    },
    meat(at, correlation) {
      setMeans(at);
      const result = new Float64Array(width * width);
      go(correlation, null, (of, weight) => { for (let a = 0; a < width; ++a) for (let b = 0; b <= a; ++b) result[a * width + b]! += weight * of[a]! * of[b]!; });
      return fill(result, width);
    },
  };
}

/** The upper triangle from the lower. */
function fill(matrix: Float64Array, width: number): Float64Array {
  for (let a = 0; a < width; ++a) for (let b = 0; b < a; ++b) matrix[b * width + a] = matrix[a * width + b]!;
  return matrix;
}
