import { describe, expect, it } from 'vitest';
import { chapterNames } from '@/lib/analysis/chapters';
import { requestOf } from '@/lib/cli/arguments';

const request = (line: string) => requestOf(line.split(' ').filter((word) => word !== ''));

describe('the command line', () => {
  it('understands an extract with a question', () => {
    expect(request('--extract folder --question q.json')).toEqual({ form: 'extract', options: { extract: ['folder'], question: 'q.json', chapters: chapterNames, smallest: 5, rounding: 1 } });
    expect(request('--extract a.csv --extract=b.csv --question q.json')).toMatchObject({ options: { extract: ['a.csv', 'b.csv'] } });
  });

  it.each([
    ['all', chapterNames],
    ['none', []],
    ['precision,difference', ['precision', 'difference']],
  ])('understands --chapters %s', (asked, chapters) => {
    expect(request(`--extract x --question q --chapters ${asked}`)).toMatchObject({ options: { chapters } });
  });

  it('understands an extract with a question about charts over time', () => {
    expect(request('--extract x --monitoring m.json')).toEqual({ form: 'monitoring', options: { extract: ['x'], monitoring: 'm.json' } });
    expect(request('--extract x --visits v.json')).toEqual({ form: 'visits', options: { extract: ['x'], visits: 'v.json' } });
    expect(request('--extract x --monitoring m.json --hospital H1')).toMatchObject({ options: { hospital: 'H1' } });
    expect(request('--extract x --monitoring m.json --surgeon S1')).toMatchObject({ options: { surgeon: 'S1' } });
  });

  it('gives a table its usual settings', () => {
    expect(request('--table study.csv --time T --event E')).toEqual({
      form: 'table',
      options: {
        table: 'study.csv', time: 'T', event: 'E', covariates: [], factors: [], strata: [], ties: 'efron', conf: 'log-log', 'min-at-risk': 0, at: [],
      },
    });
  });

  it('understands every setting of a table', () => {
    const line = '--table s.csv --time T --event E --entry T0 --group G --covariates a,b,c --factors b --strata s --cluster id --count n '
      + '--ties breslow --conf plain --min-at-risk 5 --at 1,3.5,5 --tau 8 --bandwidth 0.5';
    expect(request(line)).toEqual({
      form: 'table',
      options: {
        table: 's.csv', time: 'T', event: 'E', entry: 'T0', group: 'G', covariates: ['a', 'b', 'c'], factors: ['b'], strata: ['s'], cluster: 'id',
        count: 'n', ties: 'breslow', conf: 'plain', 'min-at-risk': 5, at: [1, 3.5, 5], tau: 8, bandwidth: 0.5,
      },
    });
  });

  it('understands an extract with a question about its units', () => {
    expect(request('--extract x --units u.json')).toEqual({ form: 'units', options: { extract: ['x'], units: 'u.json', peer: [] } });
    expect(request('--extract x --units u.json --hospital H1 --peer H2 --peer H3')).toMatchObject({ options: { hospital: 'H1', peer: ['H2', 'H3'] } });
    expect(request('--extract x --units u.json --surgeon S1')).toMatchObject({ options: { surgeon: 'S1' } });
  });

  it('understands an extract with the screening of its models', () => {
    expect(request('--extract x --screening s.json')).toEqual({ form: 'screening', options: { extract: ['x'], screening: 's.json' } });
    expect(request('--extract x --screening s.json --model H-1 --class reverse_total')).toMatchObject({ options: { model: 'H-1', class: 'reverse_total' } });
  });

  it.each([
    ['--extract x --screening s --class hemi', '--class needs --model'],
    ['--extract x --screening s --model M --class hemy', "--class must be the code of a class of procedure: 'hemy'"],
    ['--extract x --screening s --question q', '--question does not go with --screening'],
    ['--extract x --question q --model M', '--model does not go with --question'],
    ['--table y --time T --event E --screening s', '--screening does not go with --table'],
    ['', 'give either --extract with --question, or --table with --time and --event; --help says how'],
    ['--extract x --table y', 'give either --extract with --question, or --table with --time and --event; --help says how'],
    ['--extract x', '--question must be given: a JSON file'],
    ['--table y --event E', '--time must be given: the name of a column'],
    ['--extract x --question q --smallest 10', '--smallest does not go with --question without --protected'],
    ['--extract x --units u --protected out', '--protected does not go with --units'],
    ['--extract x --question q --at 1', '--at does not go with --extract'],
    ['--table y --time T --event E --question q', '--question does not go with --table'],
    ['--table y --time T --event E --ties exact', "--ties must be efron or breslow: 'exact'"],
    ['--table y --time T --event E --conf logit', "--conf must be log-log, log or plain: 'logit'"],
    ['--table y --time T --event E --at 1,x', "--at must be numbers of at least 0 with commas between: '1,x'"],
    ['--table y --time T --event E --at 1,,2', "--at must be numbers of at least 0 with commas between: '1,,2'"],
    ['--table y --time T --event E --min-at-risk=-1', "--min-at-risk must be one number of at least 0: '-1'"],
    ['--table y --time T --event E --tau 0', "--tau must be one number above 0: '0'"],
    ['--table y --time T --event E --bandwidth 1,2', "--bandwidth must be one number above 0: '1,2'"],
    ['--table y --time T --event E --chapters none', '--chapters does not go with --table'],
    ['--extract x --question q --units u', '--question does not go with --units'],
    ['--extract x --units u --chapters none', '--chapters does not go with --units'],
    ['--extract x --question q --hospital H1', '--hospital does not go with --question'],
    ['--extract x --units u --hospital H1 --surgeon S1', '--surgeon does not go with --hospital'],
    ['--extract x --monitoring m --units u', '--monitoring does not go with --units'],
    ['--extract x --monitoring m --question q', '--question does not go with --monitoring'],
    ['--extract x --monitoring m --hospital H1 --surgeon S1', '--surgeon does not go with --hospital'],
    ['--extract x --visits v --monitoring m', '--monitoring does not go with --visits'],
    ['--table y --time T --event E --visits v', '--visits does not go with --table'],
    ['--table y --time T --event E --monitoring m', '--monitoring does not go with --table'],
    ['--extract x --units u --peer H2', '--peer needs --hospital or --surgeon'],
    ['--table y --time T --event E --units u', '--units does not go with --table'],
    ['--extract x --units u --hospital=', "--hospital must be the identifier of a hospital: ''"],
    ['--extract x --question q --chapters difference,moon', '--chapters must be all, none or names of competingRisks,'],
    ['--table y --time T --event E --horizon 5', "Unknown option '--horizon'; --help lists the options"],
    ['--table y --time T --event E stray', "Unexpected argument 'stray'"],
    ['--table', "Option '--table <value>' argument missing; --help lists the options"],
  ])('refuses “%s” in one sentence', (line, message) => {
    expect(() => request(line)).toThrow(message);
  });
});
