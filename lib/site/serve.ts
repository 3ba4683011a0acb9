import { existsSync, readFileSync } from 'node:fs';
import { createServer, type Server } from 'node:http';
import { join } from 'node:path';
import sirv from 'sirv';
import { z } from 'zod';

const Headers = z.record(z.string(), z.record(z.string(), z.string()));
const portsToTry = 20;

async function listen(server: Server, port: number): Promise<boolean> {
  return new Promise((resolve, reject) => {
    const failed = (error: NodeJS.ErrnoException) => {
      if (error.code === 'EADDRINUSE') resolve(false);
      else reject(error);
    };
    server.once('error', failed);
    server.listen(port, '127.0.0.1', () => {
      server.removeListener('error', failed);
      resolve(true);
    });
  });
}

/** Serves a built site on a port of the loopback address, the wanted one or the next that is free, and gives back the address. */
export async function serve(site: string, wantedPort: number): Promise<{ readonly address: string; readonly server: Server }> {
  const headers = Headers.parse(JSON.parse(readFileSync(join(site, 'headers.json'), 'utf8')));
  const folders = Object.keys(headers).filter((name) => name.endsWith('/*'));
  const files = sirv(site, { gzip: true, etag: true });
  const nowhere = existsSync(join(site, '404.html')) ? readFileSync(join(site, '404.html')) : null;
  const server = createServer((request, response) => {
    const [pathname = '/'] = (request.url ?? '/').split('?', 1);
    const folder = folders.find((name) => pathname.startsWith(name.slice(0, -1))) ?? '*';
    for (const [name, value] of Object.entries(headers[pathname] ?? headers[folder] ?? {})) response.setHeader(name, value);
    files(request, response, () => {
      response.statusCode = 404;
      if (nowhere === null) { response.end('Not found\n'); return; }
      for (const [name, value] of Object.entries(headers['/404.html'] ?? {})) response.setHeader(name, value);
      response.setHeader('Content-Type', 'text/html; charset=utf-8');
      response.end(nowhere);
    });
  });
  for (let port = wantedPort; port < wantedPort + portsToTry; ++port) {
    if (await listen(server, port)) return { address: `http://127.0.0.1:${port}/`, server };
  }
  throw new Error(`no free port from ${wantedPort} to ${wantedPort + portsToTry - 1}; set PORT to another one`);
}
