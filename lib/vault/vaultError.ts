/** `damaged`: not as it was written. `changed`: another tab wrote or removed in between; nothing was done. */
export class VaultError extends Error {
  override readonly name = 'VaultError';
  constructor(readonly kind: 'damaged' | 'changed', message: string) {
    super(message);
  }
}
