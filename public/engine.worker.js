// The worker of the database engine. For as long as it lives it holds a lock of its name, so that its end is seen however it comes.
// The engine's code comes compiled, with the first message: the engine's own worker would fetch and compile it once more for every database.
{
  const held = !('locks' in navigator) ? Promise.resolve() : new Promise((hold) => {
    navigator.locks.request(self.name, () => {
      hold();
      return new Promise(() => undefined);
    }).catch(hold);
  });
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
    await held; // whoever waits for the lock from here on waits for the end of this worker
    return { module, instance: await WebAssembly.instantiate(module, imports) };
  };
}
importScripts('/duckdb/duckdb-browser-eh.worker.js');
