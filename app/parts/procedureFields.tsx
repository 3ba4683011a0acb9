'use client';
import {
  appliesTo, fixationCodes, indicationCodes, jointCodes, joints, procedureClassCodes, reasonCodes, sexCodes, type Code, type Joint,
} from '../../lib/contract/codes';
import type { Outcome, ProcedureCohort } from '../../lib/contract/question';
import { fixationLabel } from '../../lib/cohort/labels';
import { Between, Checks, Choice, type Option } from './fields';

/** Which procedures count, whatever page asks: a part of the cohort each. */
export interface ProcedureFieldProps {
  readonly cohort: ProcedureCohort;
  readonly change: (part: Partial<ProcedureCohort>) => void;
}

export const optionsFor = (codes: readonly Code[], joint: Joint): readonly Option[] =>
  codes.filter((code) => appliesTo(code, joint)).map(({ code, label }) => ({ key: code, label }));

/** Keeps what is known of a list; the options offer nothing else. */
export const known = <T extends string>(keys: readonly string[], all: readonly { readonly code: T }[]): T[] =>
  keys.flatMap((key) => all.filter(({ code }) => code === key).map(({ code }) => code));

export const JointChoice = ({ joint, change }: { readonly joint: Joint; readonly change: (joint: Joint) => void }) => (
  <Choice
    label="Joint" chosen={joint} options={jointCodes.map(({ code, label }) => ({ key: code, label }))}
    help="Another joint has other classes, components and reasons: those chosen are cleared."
    onChange={(key) => { const found = joints.find((j) => j === key); if (found !== undefined) change(found); }}
  />
);

export const ClassFields = ({ cohort, change }: ProcedureFieldProps) => (
  <Checks
    label="Class of procedure" help="None chosen: all classes." chosen={cohort.classes} options={optionsFor(procedureClassCodes, cohort.joint)}
    onChange={(keys) => { change({ classes: known(keys, procedureClassCodes) }); }}
  />
);

export const IndicationFields = ({ cohort, change }: ProcedureFieldProps) => (
  <Checks
    label="Indication" help="None chosen: any indication." chosen={cohort.indications} options={optionsFor(indicationCodes, cohort.joint)}
    onChange={(keys) => { change({ indications: known(keys, indicationCodes) }); }}
  />
);

export const PatientFields = ({ cohort, change }: ProcedureFieldProps) => (
  <>
    <Checks
      label="Sex" help="None chosen: women and men." chosen={cohort.sexes} options={optionsFor(sexCodes, cohort.joint)}
      onChange={(keys) => { change({ sexes: known(keys, sexCodes) }); }}
    />
    <Between label="Age" from={cohort.minAge} to={cohort.maxAge} least={0} most={120} onChange={(minAge, maxAge) => { change({ minAge, maxAge }); }} />
    <p className="help">Completed years at surgery, both ends included; empty: no limit.</p>
  </>
);

export const YearFields = ({ cohort, change }: ProcedureFieldProps) => (
  <>
    <Between label="Year" from={cohort.firstYear} to={cohort.lastYear} least={1950} most={2100} onChange={(firstYear, lastYear) => { change({ firstYear, lastYear }); }} />
    <p className="help">Calendar years of surgery, both ends included; empty: no limit.</p>
  </>
);

export function FixationFields({ cohort, change }: ProcedureFieldProps) {
  const fixations = optionsFor(fixationCodes, cohort.joint);
  return (
    <>
      <Checks
        label={fixationLabel(cohort.joint, 'proximal')} chosen={cohort.proximalFixations} options={fixations}
        onChange={(keys) => { change({ proximalFixations: known(keys, fixationCodes) }); }}
      />
      <Checks
        label={fixationLabel(cohort.joint, 'distal')} chosen={cohort.distalFixations} options={fixations}
        onChange={(keys) => { change({ distalFixations: known(keys, fixationCodes) }); }}
      />
    </>
  );
}

const kindOptions = [{ key: 'major', label: 'A fixed component changed' }, { key: 'minor', label: 'Modular parts only' }];

export const KindChecks = ({ kinds, change }: { readonly kinds: Outcome['kinds']; readonly change: (kinds: Outcome['kinds']) => void }) => (
  <Checks
    label="Kind of revision" chosen={kinds} options={kindOptions}
    onChange={(keys) => { change((['major', 'minor'] as const).filter((kind) => keys.includes(kind))); }}
  />
);

export const ReasonChecks = ({ joint, reasons, change }: { readonly joint: Joint; readonly reasons: Outcome['reasons']; readonly change: (reasons: Outcome['reasons']) => void }) => (
  <Checks
    label="Reason" chosen={reasons} options={optionsFor(reasonCodes, joint)} help="None chosen: any reason. Revisions for other reasons then end follow-up without counting."
    onChange={(keys) => { change(known(keys, reasonCodes)); }}
  />
);
