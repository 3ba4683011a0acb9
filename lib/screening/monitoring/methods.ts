import type { MonitoringQuestion } from '../../contract/monitoringQuestion';

/** How the numbers of charts are made, in sentences without a full stop. */
export const chartMethods = ({ ratio, seed, histories, restart }: MonitoringQuestion): readonly string[] => [
  'Expected revisions: a Cox model of the procedures compared with (Breslow’s rule for ties) gives each procedure its hazard by time since surgery; day by day of the calendar it adds up over the procedures under observation (Berry 1983; Keiding 1987). The model knows all years of the extract up to the last day of the chart, later ones too',
  `The chart is a cumulative sum of log likelihood ratios: each revision adds ln ${ratio}, and each expected revision takes ${Number((ratio - 1).toPrecision(6))} off, never below 0 (Page 1954; Steiner et al. 2000; for times to an event, Biswas & Kalbfleisch 2008)`,
  `The limit is found by simulation: ${histories} periods in which revisions are expected day by day as in the busiest years of this chart, from seed ${seed}. A single revision never signals`,
  restart === 'afterSignal' ? 'The chart starts again from 0 on the day after a signal' : 'After a signal the chart goes on; it starts again from 0 on a day on which a review was closed',
  'Beside it: the sequential probability ratio test against the same ratio with both errors at 1% (Wald 1945; Spiegelhalter et al. 2003), and the maximised one against any ratio above 1, from the second revision on (Kulldorff et al. 2011), as if as many revisions had been planned for as were expected',
  'Follow-up ends at the horizon, and on the last day of the chart: what is reported later is not yet counted',
];
