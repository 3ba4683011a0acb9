// The worker of the database engine. For as long as it lives it holds a lock of its name, so that its end is seen however it comes.
if ('locks' in navigator) void navigator.locks.request(self.name, () => new Promise(() => undefined));
// The engine's code comes compiled, with the first message: the engine's own worker would fetch and compile it once more for every database.
{
  const { fetch } = self;
  const compiled = new Promise((resolve) => {
    addEventListener('message', (event) => {
      event.stopImmediatePropagation();
      resolve(event.data);
    }, { once: true });
  });
  self.fetch = () => Promise.resolve(new Response());
  WebAssembly.instantiateStreaming = async (_nothing, imports) => {
    self.fetch = fetch;
    const module = await compiled;
    return { module, instance: await WebAssembly.instantiate(module, imports) };
  };
}
importScripts('/duckdb/duckdb-browser-eh.worker.js');
