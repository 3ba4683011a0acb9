/** What a reader of charts over time must bear in mind whatever the numbers are. */
export const monitoringCautions: readonly string[] = [
  'A signal is a question and no verdict. Errors of data come first, then chance, coding and case mix, then implants; performance last.',
  'The limit allows for looking again and again at this one chart. Many charts together signal more often: of n charts, about n times the share of false alarms do so by chance alone.',
  'No signal is no proof of safety: where little is expected, even a doubling most likely passes unseen.',
  'The latest months are incomplete, since revisions reach a registry late. The chart ends before them; a chart that goes on into them falls too far.',
  'What is expected is estimated from all years of this extract, later ones too. In the year itself a committee would have had less to go by.',
  'A chart is set back only by a review that is on record, with its date; a date that is put in to lower the chart hides what it is for.',
  'Only what is recorded is adjusted for. A signal of a model may be that of the patients, the surgeons or the other components that it went with.',
  'Results of one unit or surgeon are confidential. Local governance, the right of reply, device-reporting duties and the judgement of licensed clinicians come first.',
];
