import { approachCodes, fixationCodes, indicationCodes, procedureClassCodes, sexCodes, type Code, type Joint } from '../contract/codes';
import type { strataFactors } from '../contract/question';
import { fixationLabel, periodKey, periodLabel } from './labels';
import { enumCode } from './sql';

export interface Level {
  readonly key: string;
  readonly label: string;
}

/** A characteristic of a procedure as a small whole number. */
export interface Coding {
  readonly label: string;
  /** SQL of a whole number of at least 0, null where not recorded. */
  readonly code: string;
  readonly level: (code: number) => Level;
  /** The column of `followup` that alone decides the code, where it is one of whole numbers or codes. */
  readonly column?: string;
  /** The code of a level's key; null: it is the key of none. */
  readonly codeOf: (key: string) => number | null;
}

/** A continuous covariate is `value(code)`; the others have a coefficient per level. */
export interface CovariateCoding extends Coding {
  readonly value?: (code: number) => number;
}

/** Calendar years in fives: 0 is 1950–1954. */
export const periodCode = '(("year" - 1950) // 5)::INTEGER';

const ofCodes = (label: string, column: string, codes: readonly Code[]): Coding => ({
  label,
  column,
  code: enumCode(column),
  level: (code) => {
    const known = codes[code];
    if (known === undefined) throw new RangeError(`${column} has ${codes.length} codes; got number ${code}`);
    return { key: known.code, label: known.label };
  },
  codeOf: (key) => { const code = codes.findIndex((known) => known.code === key); return code < 0 ? null : code; },
});

/** Bands of a measurement; `from` is the lower bound of every band but the first, bounds belonging to the band above. */
const ofBands = (label: string, column: string, from: readonly number[], labels: readonly string[]): Coding => ({
  label,
  code: `CASE ${from.map((bound, i) => `WHEN "${column}" < ${bound} THEN ${i}`).join(' ')} WHEN "${column}" IS NOT NULL THEN ${from.length} END`,
  level: (code) => ({ key: `${column}-${code}`, label: labels[code] ?? `${code}` }),
  codeOf: (key) => { const code = labels.findIndex((_, band) => key === `${column}-${band}`); return code < 0 ? null : code; },
});

export const codings = {
  age: { ...ofBands('Age', 'age', [55, 65, 75], ['Under 55 years', '55–64 years', '65–74 years', '75 years and over']), column: 'age' },
  age_linear: {
    label: 'Age, per 10 years',
    code: '"age"::INTEGER',
    column: 'age',
    level: (code) => ({ key: `${code}`, label: `${code} years` }),
    codeOf: (key) => (/^\d{1,3}$/.test(key) ? Number(key) : null),
    value: (code) => code / 10,
  },
  sex: ofCodes('Sex', 'sex', sexCodes),
  indication: ofCodes('Indication', 'indication', indicationCodes),
  // Grade 5 is all but absent from planned surgery: alone it would have no event.
  asa: { ...ofBands('ASA grade', 'asa', [2, 3, 4], ['ASA 1', 'ASA 2', 'ASA 3', 'ASA 4 or 5']), column: 'asa' },
  // Cut points of the World Health Organization (Technical Report Series 894, 2000); underweight is too rare to stand alone.
  bmi: ofBands('Body mass index', 'bmi', [25, 30, 35], ['Under 25 kg/m²', '25 to under 30 kg/m²', '30 to under 35 kg/m²', '35 kg/m² and over']),
  period: {
    label: 'Period of the procedure',
    code: periodCode,
    column: 'year',
    level: (code) => ({ key: periodKey(code), label: periodLabel(periodKey(code)) }),
    codeOf: (key) => { const code = (Number(key.slice(0, 4)) - 1950) / 5; return Number.isInteger(code) && code >= 0 && key === periodKey(code) ? code : null; },
  },
  class: ofCodes('Class', 'class', procedureClassCodes),
  approach: ofCodes('Approach', 'approach', approachCodes),
} as const satisfies Record<string, CovariateCoding>;

/** SQL of the code of a stratifying factor. */
export const strataFactor = (factor: (typeof strataFactors)[number]): Pick<Coding, 'label' | 'code' | 'column'> => {
  switch (factor) {
    case 'region': return { label: 'Region', code: enumCode('region'), column: 'region' };
    case 'hospital': return { label: 'Hospital', code: enumCode('hospital'), column: 'hospital' };
    case 'sex': case 'indication': case 'period': case 'class': return codings[factor];
  }
};

export const fixationCoding = (joint: Joint, side: 'proximal' | 'distal'): Coding =>
  ofCodes(fixationLabel(joint, side), `${side}_fixation`, fixationCodes);
