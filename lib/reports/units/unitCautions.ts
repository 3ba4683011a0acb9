/** What a reader of a unit's results must bear in mind whatever the numbers are. */
export const unitCautions: readonly string[] = [
  'A unit outside the limits is a question and no verdict. Errors of data come first, then chance, then case mix, then implants; performance last.',
  'Ratios of observed to expected of two units are not comparable with each other: each is weighted by its own case mix. They give no ranking, and none is shown.',
  'A revision counts for the unit and the surgeon of the first operation, wherever it was done. The surgeon of record need not be the one who operated, and a case that was taken over stays with the one who implanted.',
  'Only what is recorded is adjusted for: bone quality, soft tissue, earlier operations, and which cases a unit is sent, may explain a difference.',
  'The latest months are incomplete: revisions reach a registry late.',
  'Small numbers move far by chance. Where little is expected, even a doubling would most likely pass unseen.',
  'A joint that was not revised need not be a good one. How readily a unit revises moves its numbers too.',
  'Looking again and again, at many units and many parts, finds differences by chance alone.',
  'Results of one unit or surgeon are confidential. Local governance, the right of reply, device-reporting duties and the judgement of licensed clinicians come first.',
];
