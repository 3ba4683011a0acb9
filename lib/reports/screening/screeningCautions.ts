/** What a reader of a screening must bear in mind whatever the numbers are. */
export const screeningCautions: readonly string[] = [
  'A flag is a question and no verdict. Errors of the data and of coding come first, then chance, then case mix and practice, then the implant.',
  'A model may stand out because of the surgeon, the hospital, the patient or a component that it is used with. What is not recorded is not adjusted for.',
  'No flag is no proof of safety: the detectable ratio says how large a harm could have passed unseen. A joint that was not revised need not be a good one.',
  'Among the models that are flagged some are by chance; the share is held within one run only. Each further look adds to it, and so does each change of the settings after results were seen.',
  'All bounds here are this project’s own usual values, and no standard. Set them before results are seen, and keep the number of the look.',
  'The latest months are incomplete: revisions reach a registry late.',
  'This is not a recall notice and not a medical device. What is found may have to be reported: device-reporting duties, local governance and the judgement of licensed clinicians come first.',
];
