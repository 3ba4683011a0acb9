/** A characteristic with levels: `ordered`, or two of them, or `nominal`. */
export interface FactorVariable {
  readonly kind: 'ordered' | 'nominal';
  readonly name: string;
  readonly levels: number;
  /** Per row, from 0; −1: not recorded. */
  readonly value: Int32Array;
}

export interface MeasuredVariable {
  readonly kind: 'measured';
  readonly name: string;
  /** Per row; NaN: not recorded. */
  readonly value: Float64Array;
}

export type Variable = FactorVariable | MeasuredVariable;

export const isMissing = (variable: Variable, row: number): boolean => (variable.kind === 'measured' ? Number.isNaN(variable.value[row]!) : variable.value[row]! < 0);
