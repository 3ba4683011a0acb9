'use client';
import { Button } from 'react-aria-components';
import { visitWindows } from '../../lib/contract/visitWindows';
import { suggestedAnalysis } from '../../lib/reports/planning/suggestedAnalysis';
import { Checks } from '../parts/fields';
import { WordsField } from '../parts/WordsField';
import type { PlanFieldsProps } from './planFields';

/** The words of the protocol. */
export function ProtocolFields({ plan, change }: PlanFieldsProps) {
  return (
    <>
      <Checks label="Visits" chosen={plan.visits} options={visitWindows.map(({ code, label }) => ({ key: code, label }))} onChange={(visits) => { change({ visits }); }} />
      <WordsField
        label="Measures, a line each" long value={plan.measures.join('\n')} onChange={(words) => { change({ measures: words.split('\n') }); }}
        help="Name an instrument and who licensed it; its items and wording do not belong here."
      />
      <WordsField label="Secondary end points" long value={plan.secondary} onChange={(secondary) => { change({ secondary }); }} />
      <div>
        <WordsField label="Analysis" long value={plan.analysis} onChange={(analysis) => { change({ analysis }); }} />
        <p><Button className="button quiet" onPress={() => { change({ analysis: suggestedAnalysis(plan) }); }}>Put in a first wording</Button></p>
      </div>
    </>
  );
}
