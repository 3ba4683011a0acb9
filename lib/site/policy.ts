import { createHash } from 'node:crypto';

/**
 * The style that react-aria adds to the page at run time (`usePress`), allowed by its hash; a browser test fails when it changes.
 * It is the only style element on the page that is not a file of our own.
 */
const pressableStyle = `
@layer {
  [data-react-aria-pressable] {
    touch-action: pan-x pan-y pinch-zoom;
  }
}
    `.trim();

export const sourceHash = (text: string): string => `'sha256-${createHash('sha256').update(text).digest('base64')}'`;

/** The hashes of the inline scripts of a page, each once, in their order. */
export function inlineScriptHashes(html: string): readonly string[] {
  const scripts = html.matchAll(/<script(?![^>]*\ssrc=)[^>]*>([\s\S]*?)<\/script>/g);
  return [...new Set([...scripts].map(([, text]) => sourceHash(text ?? '')))];
}

/** What a page or worker may load: our own origin only, and of inline scripts only those with these hashes. */
export function contentSecurityPolicy(scriptHashes: readonly string[]): string {
  return [
    `default-src 'none'`,
    `script-src ${["'self'", "'wasm-unsafe-eval'", ...scriptHashes].join(' ')}`,
    `worker-src 'self'`,
    `connect-src 'self'`,
    `style-src 'self' ${sourceHash(pressableStyle)}`,
    `img-src 'self' data: blob:`,
    `font-src 'self'`,
    `manifest-src 'self'`,
    `base-uri 'none'`,
    `form-action 'none'`,
    `frame-ancestors 'none'`,
  ].join('; ');
}

/** The headers of every response. A worker takes its policy from the response of its own script, so scripts carry it too. */
export function securityHeaders(scriptHashes: readonly string[]): Readonly<Record<string, string>> {
  return {
    'Content-Security-Policy': contentSecurityPolicy(scriptHashes),
    'Cross-Origin-Opener-Policy': 'same-origin',
    'Cross-Origin-Embedder-Policy': 'require-corp',
    'Cross-Origin-Resource-Policy': 'same-origin',
    'X-Content-Type-Options': 'nosniff',
    'Referrer-Policy': 'no-referrer',
    'Permissions-Policy': 'camera=(), geolocation=(), microphone=(), payment=(), usb=()',
  };
}
