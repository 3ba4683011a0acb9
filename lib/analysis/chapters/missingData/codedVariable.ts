import type { Variable } from '../../../stats/imputation/variable';
import type { Adjustment } from '../../completeCases';

/** A covariate as imputation takes it, and the way back to its codes. */
export interface CodedVariable {
  readonly variable: Variable;
  readonly codesOf: (filled: Variable) => Int32Array;
}

const withoutOrder: ReadonlySet<string> = new Set(['indication', 'class', 'approach']);

/** `codes` has an entry per row. Levels are those that occur. */
export function codedVariable({ covariate, coding, codes }: Adjustment): CodedVariable {
  if (coding.value !== undefined) {
    return {
      variable: { kind: 'measured', name: coding.label, value: Float64Array.from(codes, (code) => (code < 0 ? NaN : code)) },
      codesOf: ({ value }) => Int32Array.from(value, Math.round),
    };
  }
  const levels = Int32Array.from(new Set(codes)).filter((code) => code >= 0).sort();
  return {
    variable: { kind: withoutOrder.has(covariate) ? 'nominal' : 'ordered', name: coding.label, levels: levels.length, value: codes.map((code) => levels.indexOf(code)) },
    codesOf: ({ value }) => Int32Array.from(value, (level) => levels[level]!),
  };
}
