/** Fetches and compiles the code of the database engine. Rejects where it can't be had. */
export const compiledEngine = (): Promise<WebAssembly.Module> => WebAssembly.compileStreaming(fetch('/duckdb/duckdb-eh.wasm'));
