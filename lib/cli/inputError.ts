/** The input is not what was asked for. The message is one line: where, the rule, the value. */
export class InputError extends Error {
  override readonly name = 'InputError';
}

/** A value as it stands in a message: quoted, long ones cut. */
export const shown = (value: unknown): string => {
  const text = typeof value === 'string' ? `'${value}'` : value === undefined ? 'nothing' : JSON.stringify(value);
  return text.length > 80 ? `${text.slice(0, 79)}…` : text;
};
