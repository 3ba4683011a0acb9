import { fieldsOf } from '../../contract/fields';
import type { Mapping } from '../../contract/mapping';
import type { FoundSource } from '../inspection';
import type { OpenQuestion } from '../suggestion';

type RegistryRow = Mapping['registry'];

/** What the extract is called and how far it goes: from a file of one row that says so, else empty, to be asked. */
export function registryDraft(sources: readonly FoundSource[]): { readonly row: RegistryRow; readonly from: FoundSource | null } {
  const names = fieldsOf('registry').filter(({ required }) => required).map(({ name }) => name);
  const from = sources.find(({ columns, rows }) => rows === 1 && names.every((name) => columns.some((column) => column.name === name))) ?? null;
  const cell = (name: string): string => from?.preview[0]?.[from.columns.findIndex((column) => column.name === name)]?.trim() ?? '';
  const coverage = cell('coverage_percent');
  return {
    from, row: {
      name: cell('name'), version: cell('version'), opened: cell('opened'), closing_date: cell('closing_date'), deaths_closing_date: cell('deaths_closing_date'),
      coverage_percent: coverage === '' || Number.isNaN(Number(coverage)) ? null : Number(coverage),
    },
  };
}

const asked: readonly { readonly field: keyof RegistryRow; readonly text: string }[] = [
  { field: 'name', text: 'What is the registry, hospital or study called?' },
  { field: 'version', text: 'Which version of the extract is this? A date or a number will do.' },
  { field: 'opened', text: 'On which day did data collection begin?' },
  { field: 'closing_date', text: 'To which day are revisions complete? Follow-up ends there: a day too late counts revisions that were not yet reported as not having happened.' },
  { field: 'deaths_closing_date', text: 'To which day are deaths complete? Where deaths are not recorded, give the day to which revisions are.' },
];

export const registryQuestions = (row: RegistryRow): OpenQuestion[] => asked.filter(({ field }) => row[field] === '')
  .map(({ field, text }) => ({ path: `registry.${field}`, about: 'registry', text, options: [] }));
