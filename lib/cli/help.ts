import { chapterNames } from '../analysis/chapters';
import { usualPolicy } from '../disclosure/policy';

export const help = `Revision curves and comparisons on the command line. JSON goes to standard output, progress to standard error.
A number that cannot be had is null. The exit status is 2 where the input is not what is asked for here.

1. A registry extract and a question

  npm run -s analyse -- --extract PATH --question FILE

  --extract PATH      a folder, a zip or a file of the extract; may be given several times; without PATH, PATH.zip is taken.
                      A table is a file or a folder of Parquet files, which may lie in folders column=value
  --mapping FILE      how files of another form become the tables of the extract, as JSON (public/mapping.schema.json); it goes with every --extract
  --question FILE     the question as JSON; what it leaves out has its usual value
  --chapters NAMES    what to print below "chapters": all (usual), none, or names with commas between:
                      ${chapterNames.join(', ')}
  --protected FOLDER  instead of JSON: every table as CSV into this folder, small counts of people withheld, and the names of the files
  --smallest N        with it: the smallest count that may leave (usual: ${usualPolicy.smallest})
  --rounding N        with it: 1, 5 or 10; counts are rounded to multiples of it (usual: 1, not rounded)

  All JSON that is printed here is unprotected: it holds small counts, and names units where these are asked about. Do not pass it on.

2. A registry extract and its hospitals or surgeons

  npm run -s analyse -- --extract PATH --units FILE [--hospital ID | --surgeon ID] [--peer ID]

  --units FILE        what is asked of the units as JSON; what it leaves out has its usual value
  --hospital ID       this hospital beside its peers, instead of all units
  --surgeon ID        this surgeon beside the peers
  --peer ID           a hospital to hold it against, where "peers" is "chosen"; may be given several times

3. A registry extract and the models of its components

  npm run -s analyse -- --extract PATH --screening FILE [--model CODE [--class CODE]]

  --screening FILE    what is screened, against what and how, as JSON; what it leaves out has its usual value
  --model CODE        what lies behind this model's rate, instead of the screening of all
  --class CODE        in this class of procedure, where "comparator" is "roleAndClass"

4. A registry extract and charts over time

  npm run -s analyse -- --extract PATH --monitoring FILE [--hospital ID | --surgeon ID]

  --monitoring FILE   what is asked of the charts as JSON; what it leaves out has its usual value. With a "model" its chart, else all charts
  --hospital ID       the chart of this hospital
  --surgeon ID        the chart of this surgeon
                      columns have an entry per day; days are counted from 1970-01-01

5. A registry extract and its follow-up visits

  npm run -s analyse -- --extract PATH --visits FILE

  --visits FILE       what is asked of radiographs, tendon, motion, pain and scores as JSON; what it leaves out has its usual value

6. How far a registry extract can be trusted

  npm run -s analyse -- --extract PATH --quality [--against OLDER [--question FILE]]

  --quality           completeness, linkage, implausible patterns, codes over the years, lost follow-up, the latest months
  --against OLDER     an older version of the extract, as for --extract: what changed since, under "against"
  --question FILE     the question whose numbers are told from both versions (usual: the opening question of the page Compare)

7. A follow-up series of one's own, a CSV file with a header and a row per procedure

  npm run -s analyse -- --table FILE --time COLUMN --event COLUMN [options]

  --time COLUMN       time to the end of follow-up, a number of at least 0, in any unit
  --event COLUMN      0 censored, 1 the event of interest, 2 and up competing events
  --entry COLUMN      time from which the row was at risk, before --time
  --count COLUMN      number of identical procedures that the row stands for
  --group COLUMN      groups to compare; without it there is one group, all, and no log-rank test
  --covariates A,B    columns with numbers for the Cox model
  --factors B,C       columns with levels for the Cox model, coded against the first level in sort order;
                      a column may be named in both lists and is a factor then
                      with neither list the group is the only factor; with either it enters only if it is named there
  --strata A,B        columns whose combinations have baseline hazards of their own, in the log-rank test and the Cox model
  --cluster COLUMN    rows that belong together; adds robust standard errors, which limits, z and p then use
  --ties METHOD       efron (usual) or breslow
  --conf SCALE        scale of the limits of the curve: log-log (usual), log or plain
  --min-at-risk N     ends each curve when fewer are at risk (usual: 0)
  --at T1,T2          times at which to read the curves, to take differences, and from which to read the percent of those left
  --tau T             time up to which mean times free of the event are taken (usual: the shortest of the groups' curves)
  --bandwidth B       of the smoothed hazard (usual: a quarter of the shortest of the groups' curves)

  Levels that are all numbers are sorted as numbers, others by character code. Limits are at 95%. Before the first event the upper
  limit of the percentage is the exact binomial one. Empty cells are missing: each estimate is made from the rows complete for it,
  and leftOut counts the other rows.

  Keys: n, events, leftOut, km, rates (per 100 units of time), logrank, cox, ph (proportional hazards), aalenJohansen (cumulative
  incidence of every cause), gray (equal incidences, of rows at risk from 0), fineGray (subdistribution hazard ratios of event 1,
  weights by one curve of follow-up, or one per stratum), frailty (ratios within the clusters of --cluster), rmst (mean time free of the
  event up to tau), contrasts and conditional (at the times of --at), smoothedHazard (events per unit of time).
`;
