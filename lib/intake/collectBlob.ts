const pieceBytes = 16 * 1024 ** 2;

/** Takes bytes in and gives them back as one Blob, which a browser may keep on disk. `onBytes` hears the size so far and may throw. */
export function collectBlob(onBytes: (size: number) => void = () => undefined): { readonly sink: WritableStream<Uint8Array<ArrayBuffer>>; readonly blob: () => Blob } {
  const pieces: Blob[] = [];
  let waiting: Uint8Array<ArrayBuffer>[] = [], waitingBytes = 0, size = 0;
  const flush = (): void => {
    pieces.push(new Blob(waiting));
    waiting = [];
    waitingBytes = 0;
  };
  const sink = new WritableStream<Uint8Array<ArrayBuffer>>({
    write: (bytes) => {
      size += bytes.length;
      onBytes(size);
      waiting.push(bytes.slice());
      waitingBytes += bytes.length;
      if (waitingBytes >= pieceBytes) flush();
    },
    close: flush,
  });
  return { sink, blob: () => new Blob(pieces) };
}
