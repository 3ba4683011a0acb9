/** A file of an extract, not yet read. `path` is there where the engine can read it from disk by itself. */
export interface ExtractFile {
  readonly name: string;
  readonly content: Blob;
  readonly path?: string;
}
