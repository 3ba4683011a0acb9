'use client';
import type { Field } from '../../../lib/contract/fields';
import type { FieldSource } from '../../../lib/contract/mapping';
import { Entry } from './Entry';

type FromColumn = Extract<FieldSource, { column: string }>;

/** What seldom needs to be said of a column, folded. */
export function ColumnSettings({ field, from, name, onChange }: { readonly field: Field; readonly from: FromColumn; readonly name: string; readonly onChange: (from: FromColumn) => void }) {
  const said = [...(from.missing.length > 0 ? [`not recorded: ${from.missing.join(', ')}`] : []), ...(from.times !== undefined ? [`times ${from.times}`] : []), ...(from.separator !== undefined ? [`joined with ${from.separator}`] : [])];
  const words = said.length === 0 ? 'More' : said.join('; ');
  return (
    <details className="more">
      <summary aria-label={`${words}: ${name}`}>{words}</summary>
      <Entry
        label="Written where it is not recorded" value={from.missing.join(' | ')} help="Besides the empty cell. Several are written with | between them: n/a | 999"
        onChange={(value) => { onChange({ ...from, missing: [...new Set(value.split('|').map((part) => part.trim()).filter((part) => part !== ''))] }); }}
      />
      {field.kind === 'codes' && <Entry label="Between several codes of one cell" value={from.separator ?? ';'} onChange={(separator) => { if (separator !== '') onChange({ ...from, separator: separator.slice(0, 3) }); }} />}
      {(field.kind === 'number' || field.kind === 'integer') && (
        <Entry
          label={`Times${field.unit === null ? '' : `, to get ${field.unit}`}`} value={String(from.times ?? 1)} help="For a number in another unit: 0.1 turns millimetres into centimetres."
          onChange={(value) => {
            const times = Number(value);
            if (times > 0 && Number.isFinite(times)) onChange({ ...from, times: times === 1 ? undefined : times });
          }}
        />
      )}
    </details>
  );
}
