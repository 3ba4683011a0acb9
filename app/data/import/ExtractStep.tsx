'use client';
import type { Mapping } from '../../../lib/contract/mapping';
import { closingKey } from '../../../lib/reports/importing/draft';
import { latestDay } from '../../../lib/reports/importing/latestDay';
import { formatDate } from '../../../lib/reports/format';
import { NumberEntry } from '../../parts/fields';
import { TextButton } from '../../parts/TextButton';
import { Entry } from './Entry';
import type { Importing } from './useImport';

/** What is true of the extract as a whole. */
export function ExtractStep({ draft, change, settle }: Importing) {
  const { mapping, settled, questions } = draft;
  const { name, version, opened, closing_date: closing, deaths_closing_date: deathsClosing, coverage_percent: coverage } = mapping.registry;
  const set = (part: Partial<Mapping['registry']>) => { change({ ...mapping, registry: { ...mapping.registry, ...part } }); };
  const latest = latestDay(draft);
  const asked = (field: string): string => questions.find(({ path }) => path === `registry.${field}`)?.text ?? '';
  return (
    <>
      <div className="extract-fields">
        <Entry label="Name of the registry, hospital or study" value={name} onChange={(value) => { set({ name: value.trim() }); }} />
        <Entry label="Version of the extract" value={version} help="So that numbers can be traced to it: a date or a number." onChange={(value) => { set({ version: value.trim() }); }} />
        <Entry label="Data collected from" type="date" value={opened} help={asked('opened')} onChange={(value) => { set({ opened: value }); }} />
        <Entry label="Revisions complete to (closing date)" type="date" value={closing} help={asked('closing_date')} onChange={(value) => { set({ closing_date: value }); }} />
        <Entry label="Deaths complete to" type="date" value={deathsClosing} help={asked('deaths_closing_date')} onChange={(value) => { set({ deaths_closing_date: value }); }} />
        <NumberEntry label="Share of procedures captured, %" value={coverage} least={0} most={100} help="Leave it empty where it is not known." onChange={(value) => { set({ coverage_percent: value }); }} />
      </div>
      {closing === '' && latest !== null && (
        <p className="help">
          The latest day in the rows that were looked at is {formatDate(latest.day)} ({latest.column}): the closing date is not before it.{' '}
          <TextButton onPress={() => { set({ closing_date: latest.day }); }}>Enter it as the closing date</TextButton>
        </p>
      )}
      {closing !== '' && (
        <label className="confirm closing">
          <input type="checkbox" checked={settled.has(closingKey(closing))} disabled={settled.has(closingKey(closing))} onChange={() => { settle(closingKey(closing)); }} />{' '}
          Revisions are known for every procedure up to {formatDate(closing)}. Whoever has none by then counts as unrevised to that day.
        </label>
      )}
    </>
  );
}
