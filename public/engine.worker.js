// The worker of the database engine. For as long as it lives it holds a lock of its name, so that its end is seen however it comes.
if ('locks' in navigator) void navigator.locks.request(self.name, () => new Promise(() => undefined));
importScripts('/duckdb/duckdb-browser-eh.worker.js');
