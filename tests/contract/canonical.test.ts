import { createHash } from 'node:crypto';
import { expect, it } from 'vitest';
import { canonicalJson, hashOf } from '@/lib/contract/canonical';

it('writes the example of RFC 8785, section 3.2', () => {
  // Rundgren, Jordan & Erdtman 2020; input and output from memory of the text, each part derivable from ECMA-262.
  const value = {
    numbers: [333333333.33333329, 1e30, 4.50, 2e-3, 0.000000000000000000000000001],
    string: '\u20ac$\u000F\u000aA\'\u0042\u0022\u005c\\\"\/',
    literals: [null, true, false],
  };
  expect(canonicalJson(value)).toBe(String.raw`{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],"string":"€$\u000f\nA'B\"\\\\\"/"}`);
});

it('sorts names by UTF-16 units, whatever order they come in', () => {
  expect(canonicalJson({ b: 1, a: { z: 1, é: 2, Z: 3 } })).toBe('{"a":{"Z":3,"z":1,"é":2},"b":1}');
});

it.each([NaN, Infinity, undefined, '\ud800'])('does not write %s', (value) => { expect(() => canonicalJson(value)).toThrow(); });

it('hashes as FIPS 180-4 says, over UTF-8', async () => {
  expect(await hashOf('é')).toBe(createHash('sha256').update('"é"', 'utf8').digest('hex'));
  expect(await hashOf({})).toBe('44136fa355b3678a1146ad16f7e8649e94fb4fc21fe77e8310c060f61caaff8a'); // of `{}`, sha256sum (GNU coreutils)
});
