import type { RandomStream } from '../../../sample-registry/random';

export type Bytes = Uint8Array<ArrayBuffer>;
export type ByteMutation = (bytes: Bytes, random: RandomStream) => Bytes;

const joined = (...parts: readonly Bytes[]): Bytes => {
  const whole = new Uint8Array(parts.reduce((n, part) => n + part.length, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
};

/** A place, and a length that stays within the bytes; small pieces are as likely as large ones. */
function piece(bytes: Bytes, random: RandomStream): readonly [from: number, to: number] {
  const from = random.integer(bytes.length + 1), longest = bytes.length - from;
  return [from, from + Math.min(longest, Math.floor(2 ** (random.uniform() * Math.log2(longest + 1))))];
}

const inserted = (bytes: Bytes, at: number, what: Bytes): Bytes => joined(bytes.slice(0, at), what, bytes.slice(at));
const text = (bytes: Bytes): string => new TextDecoder().decode(bytes);
const encoded = (string: string): Bytes => new TextEncoder().encode(string);
const anywhere = (...marks: readonly (readonly number[])[]): ByteMutation => (bytes, random) => {
  let result = bytes;
  for (let n = 1 + random.integer(3); n > 0; n--) result = inserted(result, random.integer(result.length + 1), Uint8Array.from(random.one(marks)));
  return result;
};
const utf16 = (bytes: Bytes, littleEndian: boolean, mark: boolean): Bytes => {
  const units = `${mark ? '\uFEFF' : ''}${text(bytes)}`, view = new DataView(new ArrayBuffer(units.length * 2));
  for (let i = 0; i < units.length; i++) view.setUint16(2 * i, units.charCodeAt(i), littleEndian);
  return new Uint8Array(view.buffer);
};

export const byteMutations: Readonly<Record<string, ByteMutation>> = {
  'bits flipped': (bytes, random) => {
    const result = bytes.slice();
    for (let n = 1 + random.integer(8); n > 0 && result.length > 0; n--) result[random.integer(result.length)]! ^= 1 << random.integer(8);
    return result;
  },
  'bytes overwritten': (bytes, random) => {
    const result = bytes.slice(), [from, to] = piece(bytes, random);
    for (let i = from; i < Math.min(to, from + 64); i++) result[i] = random.integer(256);
    return result;
  },
  'cut short': (bytes, random) => bytes.slice(0, random.integer(bytes.length + 1)),
  'beginning cut off': (bytes, random) => bytes.slice(random.integer(bytes.length + 1)),
  'piece taken out': (bytes, random) => { const [from, to] = piece(bytes, random); return joined(bytes.slice(0, from), bytes.slice(to)); },
  'random bytes put in': (bytes, random) => inserted(bytes, random.integer(bytes.length + 1), Uint8Array.from({ length: 1 + random.integer(40) }, () => random.integer(256))),
  'piece doubled': (bytes, random) => { const [from, to] = piece(bytes, random); return joined(bytes.slice(0, to), bytes.slice(from)); },
  'pieces swapped': (bytes, random) => {
    const cuts = Array.from({ length: 4 }, () => random.integer(bytes.length + 1)).sort((a, b) => a - b) as [number, number, number, number];
    const [a, b, c, d] = cuts;
    return joined(bytes.slice(0, a), bytes.slice(c, d), bytes.slice(b, c), bytes.slice(a, b), bytes.slice(d));
  },
  'zero bytes': anywhere([0], [0, 0, 0, 0]),
  'byte order marks': (bytes, random) => {
    const mark = Uint8Array.from(random.one([[0xef, 0xbb, 0xbf], [0xff, 0xfe], [0xfe, 0xff], [0xef, 0xbb, 0xbf, 0xef, 0xbb, 0xbf]]));
    return inserted(bytes, random.chance(0.7) ? 0 : random.integer(bytes.length + 1), mark);
  },
  'UTF-16': (bytes, random) => utf16(bytes, random.chance(0.5), random.chance(0.5)),
  'Latin-1 letters': anywhere([0xe9], [0xf6, 0xdf], [0xfc], [0x80], [0xa0]),
  'broken UTF-8': anywhere([0xc3], [0xed, 0xa0, 0x80], [0xf8, 0x88, 0x80, 0x80, 0x80], [0xe2, 0x82], [0xc0, 0x80]),
  'quotes': anywhere([34], [34, 34], [34, 44, 34], [44, 34], [34, 10]),
  'line ends': (bytes, random) => {
    const [all, some] = [random.one(['\r\n', '\r', '\n\n', '\n \n', '\u2028', '\u0085\n', '\n\r']), random.chance(0.5)];
    return encoded(text(bytes).replace(/\n/g, (end) => (some && random.chance(0.8) ? end : all)));
  },
  'another delimiter': (bytes, random) => {
    const [mark, some] = [random.one([';', '\t', '|', ', ', ' ,', '，']), random.chance(0.3)];
    return encoded(text(bytes).replace(/,/g, (comma) => (some && random.chance(0.9) ? comma : mark)));
  },
  'a huge cell': (bytes, random) => inserted(bytes, random.integer(bytes.length + 1), new Uint8Array(Math.floor(2 ** (8 + 13 * random.uniform()))).fill(random.one([32, 48, 120, 65]))),
  'random bytes only': (_, random) => Uint8Array.from({ length: random.integer(4000) }, () => random.integer(256)),
};
