import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { bytesOf, csvBlocks, type CsvBlock } from '../../lib/engine/load/csvBlocks';
import { trimmed } from '../../lib/intake/columns';

async function blocksOf(text: string, cells: number): Promise<readonly CsvBlock[]> {
  const blocks: CsvBlock[] = [];
  for await (const block of csvBlocks(new Blob([text]), { file: 'a.csv', cells, identifying: new Set() }, new AbortController().signal)) blocks.push(block);
  return blocks;
}

const written = (cell: string): string => (/[",\n]/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell);
const cell = fc.array(fc.constantFrom('a', '1', 'é', 'Â', ' ', '\t', '\u00A0', '"', ',', '日'), { maxLength: 5 }).map((letters) => letters.join(''));

describe('a block of records tells whether white space must be taken off its cells', () => {
  it('is never silent about a cell with white space around it, however it is written', async () => {
    await fc.assert(fc.asyncProperty(fc.array(fc.tuple(cell, cell), { minLength: 1, maxLength: 8 }), async (rows) => {
      const blocks = await blocksOf(`a,b\n${rows.map((row) => `${row.map(written).join(',')}\n`).join('')}`, 2);
      if (rows.flat().some((value) => trimmed(value) !== value)) expect(blocks.every(({ padded }) => padded)).toBe(true);
    }));
  });

  it.each([
    ['plain', 'P1,2014-05-06,osteoarthritis\n', false],
    ['white space within', 'P1,6 May 2014,cuff tear arthropathy\n', false],
    ['letters beyond ASCII', 'P1,Größe,épaule\n', false],
    ['a blank before', 'P1, 2014-05-06,osteoarthritis\n', true],
    ['a blank at the end of a line', 'P1,2014-05-06,osteoarthritis \n', true],
    ['a tab within quotes', 'P1,"2014-05-06\t",osteoarthritis\n', true],
    ['a no-break space', 'P1,2014-05-06\u00A0,osteoarthritis\n', true],
  ])('%s', async (_, record, padded) => {
    expect((await blocksOf(`procedure_id,procedure_date,indication\n${record}`, 3)).map((block) => block.padded)).toEqual([padded]);
  });

  it.each([1, 2, 3, 4, 5])('hears of white space in a record of which %i bytes stand in the piece that was read before', async (before) => {
    const pieces = 8 * 4 * 1024 * 1024, line = (bytes: number): string => `P1,${'x'.repeat(bytes - 4)}\n`, header = 'a,b\n';
    const text = `${header}${line(1024).repeat(pieces / 1024 - 1)}${line(1024 - header.length - before)}P2, y\n${line(1024)}`;
    const blocks = await blocksOf(text, 2), decoder = new TextDecoder();
    expect(blocks).toHaveLength(2);
    for (const block of blocks) if (decoder.decode(bytesOf(block)).includes(', y')) expect(block.padded).toBe(true);
  });
});

describe('a record that two pieces of a file share', () => {
  const pieceBytes = 4 * 1024 * 1024, header = 'a,b\n', encoder = new TextEncoder(), decoder = new TextDecoder();

  it.each([
    ['plain', 'P2,hip\n', 1],
    ['beyond ASCII', 'P2,épaule\n', 1],
    ['with line ends and commas within quotes', 'P2,"a,\n\n""b\n"\n', 1],
    ['with a cell too many', 'P2,hip,left\n', 0],
    ['after an empty line', '\nP2,hip\n', 1],
  ])('%s, is the same wherever they meet', async (_, record, taken) => {
    for (let before = 0; before <= encoder.encode(record).length; before++) {
      const filling = 'x'.repeat(1024 - 4), lines = `P1,${filling}\n`.repeat(pieceBytes / 1024 - 1), rest = 1024 - header.length - before, start = `${header}${lines}P1,${'y'.repeat(rest - 4)}\n`;
      const scanned = csvBlocks(new Blob([start, record, 'P3,knee\nP4,knee']), { file: 'a.csv', cells: 2, identifying: new Set() }, new AbortController().signal), blocks: CsvBlock[] = [];
      let next = await scanned.next();
      for (; next.done !== true; next = await scanned.next()) blocks.push(next.value);
      const text = decoder.decode(Buffer.concat(blocks.map(bytesOf)));
      expect(text.slice(-(record.length + 30)).endsWith(`y\n${taken === 1 ? record.trimStart() : ''}P3,knee\nP4,knee`)).toBe(true);
      expect(blocks.reduce((sum, { records }) => sum + records, 0)).toBe(pieceBytes / 1024 + taken + 2);
      expect(next.value).toMatchObject({ records: pieceBytes / 1024 + 3, malformed: taken === 1 ? new Int32Array() : Int32Array.of(pieceBytes / 1024 + 2) });
      expect(blocks.at(-1)!.fraction).toBe(1);
    }
  });
});
