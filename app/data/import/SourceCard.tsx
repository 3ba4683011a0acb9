'use client';
import { delimiters, encodings, type TextLayout } from '../../../lib/contract/mapping';
import type { FoundSource } from '../../../lib/intake/inspection';
import { layoutKey } from '../../../lib/reports/importing/draft';
import { decimalWords, delimiterWords, encodingWords, formatWords, layoutWords, rowsWords, sizeWords, sourceName } from '../../../lib/reports/importing/words';
import { NumberEntry } from '../../parts/fields';
import { Fold } from './Fold';
import { Pick } from './Pick';
import { Preview } from './Preview';

interface Props {
  readonly source: FoundSource;
  readonly settled: ReadonlySet<string>;
  readonly onLayout: (layout: TextLayout) => void;
  readonly settle: (key: string) => void;
}

/** A file or sheet: how it is written as found, and its first rows. */
export function SourceCard({ source, settled, onLayout, settle }: Props) {
  const { format, bytes, columns, layout, doubts } = source;
  const isSettled = settled.has(layoutKey(source));
  return (
    <section className="source" aria-label={sourceName(source)} data-source={sourceName(source)}>
      <h3>{sourceName(source)}</h3>
      <p className="soft">{formatWords[format]}, {sizeWords(bytes)}; {rowsWords(source)}, {columns.length} columns.</p>
      {layout !== null && (
        <Fold className="more" startsOpen={columns.length < 2} summary={layoutWords(layout)} label={`How ${sourceName(source)} is written: ${layoutWords(layout)}`}><Layout layout={layout} onLayout={onLayout} /></Fold>
      )}
      {doubts.length > 0 && (
        <div className={isSettled ? 'doubts settled' : 'doubts'}>
          <ul>{doubts.map((doubt) => <li key={doubt}>{doubt}</li>)}</ul>
          <label className="confirm"><input type="checkbox" checked={isSettled} disabled={isSettled} onChange={() => { settle(layoutKey(source)); }} /> The rows below look right</label>
        </div>
      )}
      <Preview source={source} startsOpen={doubts.length > 0 || columns.length < 2} />
    </section>
  );
}

const encodingOptions = encodings.map((value) => ({ value, label: encodingWords[value] }));
const delimiterOptions = delimiters.map((value) => ({ value, label: delimiterWords[value] }));
const decimalOptions = (['.', ','] as const).map((value) => ({ value, label: decimalWords[value] }));

function Layout({ layout, onLayout }: { readonly layout: TextLayout; readonly onLayout: (layout: TextLayout) => void }) {
  const pick = <K extends keyof TextLayout>(key: K, among: readonly TextLayout[K][]) => (value: string) => {
    const chosen = among.find((one) => one === value);
    if (chosen !== undefined) onLayout({ ...layout, [key]: chosen });
  };
  return (
    <div className="layout">
      <Pick label="Between cells" value={layout.delimiter} options={delimiterOptions} onChange={pick('delimiter', delimiters)} />
      <Pick label="Characters" value={layout.encoding} options={encodingOptions} onChange={pick('encoding', encodings)} />
      <Pick label="Decimal sign" value={layout.decimal} options={decimalOptions} onChange={pick('decimal', ['.', ','])} />
      <NumberEntry label="Names of columns in line" value={layout.headerLine} least={1} most={1000} step={1} isRequired onChange={(value) => { if (value !== null) onLayout({ ...layout, headerLine: value }); }} />
    </div>
  );
}
