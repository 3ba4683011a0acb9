import { expect, it } from 'vitest';
import { loadExtract } from '../../lib/engine/loadExtract';
import { setAsideCsv } from '../../lib/engine/setAsideCsv';
import { engines } from './engines';
import { smallExtract } from './smallExtract';

it.each(engines)('the list to take away names file, line, field, rule and value, and runs nothing in a spreadsheet, $engine', async ({ open }) => {
  const result = await loadExtract(open, smallExtract({
    procedures: [
      { procedure_id: 'p1', patient_id: 'a' }, { procedure_id: 'p2', patient_id: 'b', sex: '=HYPERLINK("http://example.org")' },
      { procedure_id: 'p3', patient_id: 'secret-patient', side: '-left' }, { procedure_id: 'p4', patient_id: 'c', bmi: '<b>31</b>' }],
  }));
  if (result.status === 'refused') throw new Error(result.problems[0]?.message);
  let text = '';
  for await (const piece of setAsideCsv(result.extract.database)) text += piece;
  expect(text.split('\r\n')).toEqual([
    'table,file,line,field,rule,finding,set_aside,value',
    'procedures,procedures.csv,3,sex,unknown_code,Not a code of the list,record,"\'=HYPERLINK(""http://example.org"")"',
    "procedures,procedures.csv,4,side,unknown_code,Not a code of the list,record,'-left",
    'procedures,procedures.csv,5,bmi,not_a_number,Not a number with a decimal point,value,<b>31</b>',
    '',
  ]);
  expect(text).not.toContain('secret-patient');
  await result.extract.database.close();
}, 60_000);

it('a long list comes in pieces, each row once', async () => {
  const rows = Array.from({ length: 25_001 }, (_, i) => ({ procedure_id: `p${i}`, patient_id: `a${i}`, age_years: i === 0 ? 70 : 7 }));
  const result = await loadExtract(engines[0].open, smallExtract({ procedures: rows }));
  if (result.status === 'refused') throw new Error(result.problems[0]?.message);
  const pieces: string[] = [];
  for await (const piece of setAsideCsv(result.extract.database)) pieces.push(piece);
  const lines = pieces.join('').trimEnd().split('\r\n').slice(1).map((line) => Number(line.split(',')[2]));
  expect(pieces.length).toBe(3);
  expect(lines).toEqual(Array.from({ length: 25_000 }, (_, i) => i + 3));
  await result.extract.database.close();
});
