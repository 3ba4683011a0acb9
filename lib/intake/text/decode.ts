import type { TextLayout } from '../../contract/mapping';
import { collectBlob } from '../collectBlob';

type Encoding = TextLayout['encoding'];

/** What the bytes 0x80–0x9F of Windows-1252 stand for (WHATWG Encoding Standard, index windows-1252); those it leaves open are control characters. */
const windows1252 = '€\u0081‚ƒ„…†‡ˆ‰Š‹Œ\u008DŽ\u008F\u0090‘’“”•–—˜™š›œ\u009DžŸ';

/** Our own reading of Windows-1252: some releases of Node read it as Latin-1. */
function decodeWindows1252(bytes: Uint8Array): string {
  const pieces: string[] = [];
  for (let from = 0; from < bytes.length; from += 8192) pieces.push(String.fromCharCode(...bytes.subarray(from, from + 8192)));
  return pieces.join('').replace(/[\u0080-\u009F]/g, (c) => windows1252[c.charCodeAt(0) - 0x80] ?? c);
}

export interface Decoder { decode(bytes: Uint8Array<ArrayBuffer>, more: boolean): string }

/** Decodes in pieces. A byte order mark is taken off; bytes that the encoding does not have throw where `fatal`. */
export function decoderOf(encoding: Encoding, fatal = false): Decoder {
  if (encoding === 'windows-1252') return { decode: decodeWindows1252 };
  const decoder = new TextDecoder(encoding, { fatal });
  return { decode: (bytes, more) => decoder.decode(bytes, { stream: more }) };
}

/** The text as UTF-8. A file that is UTF-8 is handed on as it is; bytes that are no text of another encoding throw a TypeError. */
export async function asUtf8(content: Blob, encoding: Encoding, signal: AbortSignal): Promise<Blob> {
  if (encoding === 'utf-8') return content;
  const decoder = decoderOf(encoding, true), encoder = new TextEncoder();
  const { sink, blob } = collectBlob();
  await content.stream().pipeThrough(new TransformStream<Uint8Array<ArrayBuffer>, Uint8Array<ArrayBuffer>>({
    transform: (bytes, controller) => { controller.enqueue(encoder.encode(decoder.decode(bytes, true))); },
    flush: (controller) => {
      const rest = decoder.decode(new Uint8Array(0), false);
      if (rest !== '') controller.enqueue(encoder.encode(rest));
    },
  })).pipeTo(sink, { signal });
  return blob();
}
