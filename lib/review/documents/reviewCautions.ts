/** What whoever reads a document of the review must bear in mind. */
export const reviewCautions: readonly string[] = [
  'A flag is a question and no verdict. Errors in the data and in coding come first, then chance and case mix, then the implant; practice comes last.',
  'An association is not proof: indication, anatomy and the surgeon’s preference decide who is operated on with what, and only some of that is recorded.',
  'Ratios of observed to expected of two units are not comparable with each other, and nothing here ranks them.',
  'Each further look at accumulating data adds false alarms: the number of the look belongs to the numbers, and nominal p-values no longer hold.',
  'The latest months are incomplete: revisions reach a registry late. That nothing is seen where few are at risk does not mean that nothing happens.',
  'A joint that was not revised need not be a good one. This is no recall notice, no medical device and no advice for one patient.',
  'Local governance, confidentiality, the duty to report devices and the judgement of licensed clinicians come first.',
];
