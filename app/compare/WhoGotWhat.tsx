'use client';
import { memo } from 'react';
import type { ComparisonReport } from '../../lib/reports/comparisonReport';
import { DataTable } from '../parts/DataTable';
import { GroupMark } from '../parts/GroupMark';
import { CalendarChart } from './CalendarChart';

interface Props { readonly id: string; readonly heading: string; readonly report: ComparisonReport }

/** Case mix side by side and the years in which each group was in use. */
export const WhoGotWhat = memo(function WhoGotWhat({ id, heading, report: { tables, provenance, figures, groups } }: Props) {
  return (
    <section id={id} className="who-got-what">
      <h2>{heading}</h2>
      <DataTable table={tables.caseMix} provenance={provenance} captionHidden />
      <div className="calendar-block">
      <h3>Procedures per calendar year</h3>
      <p className="legend">{groups.map(({ key, label }, group) => <span key={key}><GroupMark group={group} />{label}</span>)}</p>
      <div className="calendar screen" aria-hidden><CalendarChart figure={figures.calendar} years={figures.calendar.years} groups={groups} /></div>
      <div className="calendar paper" aria-hidden><CalendarChart figure={figures.calendar} years={figures.calendar.paper} groups={groups} width={660} /></div>
      {figures.calendar.paper.some(({ counts }) => counts.includes(null)) && <p className="paper soft">Where a line is missing, its counts are withheld.</p>}
      </div>
      <details>
        <summary>The same as a table</summary>
        <DataTable table={tables.calendar} provenance={provenance} />
      </details>
    </section>
  );
});
