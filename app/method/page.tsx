import type { Metadata } from 'next';
import { standingCautions } from '../../lib/reports/cautions';
import { filesAndPrivacy, furtherEstimates, unitsAndOutliers, visitsAndPlans, type Entry } from './entries';

export const metadata: Metadata = { title: 'Method' };

const follow: readonly Entry[] = [
  { term: 'Unit and time', text: 'One primary procedure, which is one side of one joint. Time is whole days from the procedure to its first revision, the patient’s death, the end of registration or the closing date, whichever comes first; a year is 365.25 days. A revision on the day of the procedure counts. At equal times a revision comes before an end without one.', source: 'common practice, no source' },
  { term: 'Revision', text: 'A component was removed, exchanged or added. The first one ends follow-up; later ones and re-operations without a change of component are kept and counted, but are no end point. Where a reason or a component is asked for, other revisions end follow-up without counting.', source: 'common practice, no source' },
  { term: 'Delayed entry', text: 'Where the registry began to see a procedure only later, it is at risk from then on.', source: 'Klein & Moeschberger 2003, Survival Analysis, §4.6' },
];

const estimates: readonly Entry[] = [
  { term: 'Cumulative percent revision', text: '100 (1 − S) with S by Kaplan–Meier; limits on the log-log scale with Greenwood’s variance. Before the first revision the upper limit is the exact binomial one. Death ends follow-up without counting, so the percentage is that of implants if patients did not die.', source: 'Kaplan & Meier 1958, J Am Stat Assoc 53:457; Kalbfleisch & Prentice 2002, §1.4' },
  { term: 'Where curves stop', text: 'A curve, and every number read from it, ends where one more revision would lower S by more than a set step (2 percentage points unless changed, which asks for about 50 at risk).', source: 'Pocock, Clayton & Altman 2002, Lancet 359:1686; Gebski et al. 2018, Int J Epidemiol 47:850' },
  { term: 'Revisions per 100 component-years', text: 'Revisions over the summed follow-up, with exact Poisson limits. It assumes a constant rate.', source: 'Garwood 1936, Biometrika 28:437; Ulm 1990, Am J Epidemiol 131:373' },
  { term: 'Log-rank test', text: 'Observed against expected revisions over all groups, within strata where there are any.', source: 'Mantel 1966, Cancer Chemother Rep 50:163' },
  { term: 'Hazard ratios', text: 'Cox regression with Efron’s handling of ties on all complete records. Limits are robust to likeness within a cluster: by default the two sides of one patient. A level without revisions, or one that another determines, is named and not estimated.', source: 'Cox 1972, J R Stat Soc B 34:187; Efron 1977, J Am Stat Assoc 72:557; Lin & Wei 1989, J Am Stat Assoc 84:1074' },
  { term: 'Proportional hazards', text: 'Score test from scaled Schoenfeld residuals. Where p is below 0.05 for the groups, ratios by period since surgery are given first and the single ratio last.', source: 'Grambsch & Therneau 1994, Biometrika 81:515' },
  { term: 'Difference of two percentages', text: 'Its limits are recovered from those of the two percentages.', source: 'Zou & Donner 2008, Stat Med 27:1693' },
  { term: 'Case mix', text: 'Counts and percent per group, with the largest absolute standardised difference between two groups.', source: 'Austin 2009, Stat Med 28:3083' },
  { term: 'Median follow-up', text: 'Kaplan–Meier with revision and death taken as censoring.', source: 'Schemper & Smith 1996, Control Clin Trials 17:343' },
];

const List = ({ entries }: { readonly entries: readonly Entry[] }) => (
  <dl>
    {entries.map(({ term, text, source }) => <div key={term}><dt>{term}</dt><dd>{text} <span className="soft">({source})</span></dd></div>)}
  </dl>
);

export default function MethodPage() {
  return (
    <div className="method">
      <h1>How the numbers are made</h1>
      <p>All of it happens in this browser. The same code answers on the command line, and is tested against published worked examples and against R.</p>
      <h2>Follow-up</h2>
      <List entries={follow} />
      <h2>Estimates</h2>
      <List entries={estimates} />
      <h2>Further parts of an answer</h2>
      <List entries={furtherEstimates} />
      <h2>Units, components and their review</h2>
      <List entries={unitsAndOutliers} />
      <h2>Before revision, and planning a study</h2>
      <List entries={visitsAndPlans} />
      <h2>Files, what may leave, and what is kept</h2>
      <List entries={filesAndPrivacy} />
      <p>Protecting small counts here is a first protection, not a full disclosure check: that stays with whoever answers for the data.</p>
      <h2>Cautions</h2>
      <ul>{standingCautions.map((caution) => <li key={caution}>{caution}</li>)}</ul>
    </div>
  );
}
