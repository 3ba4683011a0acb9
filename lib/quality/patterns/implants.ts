import { indicationCodes, labelOf, roleCodes, type Role } from '../../contract/codes';
import { quoteText, sql, type Database } from '../../engine/database';
import { componentColumn } from '../../engine/followupTable';
import { mismatches, usualAges, type Mismatch } from './commonPractice';
import { anyOf, anyWords, type Pattern, type PatternPart } from './pattern';

/** Implants, ages and classes that do not go together. */
export async function implantPatterns(database: Database): Promise<readonly Pattern[]> {
  return [...await outsideUse(database), await agesOfIndications(database), await constructs(database)];
}

async function outsideUse(database: Database): Promise<readonly Pattern[]> {
  const rows = await database.query(sql(`SELECT c.model_code::VARCHAR AS model, count(*)::INTEGER AS n, count(*) FILTER (WHERE f.procedure_day < m.first_day)::INTEGER AS before,
      count(*) FILTER (WHERE f.procedure_day > m.last_day)::INTEGER AS after
    FROM components c JOIN followup f USING (procedure)
    JOIN (SELECT model_code::model_code AS model_code, (first_used - DATE '1970-01-01')::INTEGER AS first_day, (last_used - DATE '1970-01-01')::INTEGER AS last_day FROM models
      WHERE first_used IS NOT NULL OR last_used IS NOT NULL) m USING (model_code) GROUP BY 1 ORDER BY 1`));
  const models = rows.texts('model'), n = rows.numbers('n');
  const pattern = (id: string, label: string, column: string, text: string): Pattern => {
    const counts = rows.numbers(column);
    const parts = models.map((model, i): PatternPart => ({ kind: 'other', label: model, count: counts[i]!, of: n[i]!, expected: NaN, p: NaN })).filter(({ count }) => count > 0).sort((a, b) => b.count - a.count);
    return {
      ...anyOf({ id, area: 'implants', label, rule: anyWords, unit: 'components', todo: { text, href: '/dictionary/' } }, counts.reduce((sum, k) => sum + k, 0), n.reduce((sum, k) => sum + k, 0), parts),
      ...(rows.rowCount === 0 ? { notLookedAt: 'no model has a day of first or last use, or no component was kept' } : {}),
    };
  };
  return [
    pattern('before-first-use', 'Models implanted before their first use', 'before', 'Ask for the right code of the model or the right day; a code may have been given again to another model.'),
    pattern('after-last-use', 'Models implanted after their last use', 'after', 'Ask for the right code of the model or the right day; withdrawn stock may still have been used.'),
  ];
}

async function agesOfIndications(database: Database): Promise<Pattern> {
  const outside = Object.entries(usualAges).map(([indication, [least, most]]) => `(indication = ${quoteText(indication)} AND age NOT BETWEEN ${least} AND ${most})`).join(' OR ');
  const rows = await database.query(sql(`SELECT indication::VARCHAR AS indication, count(*)::INTEGER AS n, count(*) FILTER (WHERE ${outside})::INTEGER AS outside
    FROM followup WHERE indication IS NOT NULL AND age IS NOT NULL GROUP BY 1 ORDER BY 1`));
  const n = rows.numbers('n'), counts = rows.numbers('outside');
  const parts = rows.texts('indication').map((indication, i): PatternPart => {
    const [least, most] = usualAges[indication ?? ''] ?? [0, 0];
    return { kind: 'other', label: `${labelOf(indicationCodes, indication ?? '')}, usual from ${least} to ${most} years`, count: counts[i]!, of: n[i]!, expected: NaN, p: NaN };
  }).filter(({ count }) => count > 0).sort((a, b) => b.count - a.count);
  return anyOf({
    id: 'age-for-indication', area: 'implants', label: 'Ages outside what is usual for the indication', unit: 'procedures',
    rule: `Usual ages are common practice, no source. Asked about as soon as there is one.`,
    todo: { text: 'Ask whether age or indication is right.', href: '/dictionary/' },
  }, counts.reduce((sum, k) => sum + k, 0), n.reduce((sum, k) => sum + k, 0), parts);
}

const there = (role: Role): string => `(${componentColumn(role, 'model')} IS NOT NULL OR ${componentColumn(role, 'design')} IS NOT NULL)`;

/** SQL of whether a procedure shows a mismatch. */
export function mismatchCondition({ joint, classes, roles, without, designs, otherDesignThan, fixation }: Mismatch): string {
  return [
    `joint = ${quoteText(joint)}`,
    ...(classes.length === 0 ? [] : [`class IN (${classes.map(quoteText).join(', ')})`]),
    ...(roles === undefined ? [] : [`(${roles.map(there).join(' OR ')})`]),
    ...(without === undefined ? [] : [`NOT (${without.map(there).join(' OR ')})`]),
    ...(designs === undefined ? [] : [`(${designs.map(({ role, design }) => `${componentColumn(role, 'design')} = ${quoteText(design)}`).join(' OR ')})`]),
    ...(otherDesignThan === undefined ? [] : [`${componentColumn(otherDesignThan.role, 'design')} <> ${quoteText(otherDesignThan.design)}`]),
    ...(fixation === undefined ? [] : [`${fixation.side}_fixation = ${quoteText(fixation.is)}`]),
  ].join(' AND ');
}

async function constructs(database: Database): Promise<Pattern> {
  const any = roleCodes.map(({ code }) => there(code)).join(' OR ');
  const of = (m: Mismatch): string => `joint = ${quoteText(m.joint)}${m.classes.length === 0 ? '' : ` AND class IN (${m.classes.map(quoteText).join(', ')})`}`;
  const rows = await database.query(sql(`SELECT count(*)::INTEGER AS n, count(*) FILTER (WHERE ${mismatches.map((m) => `(${mismatchCondition(m)})`).join(' OR ')})::INTEGER AS any_of,
    ${mismatches.map((m, i) => `count(*) FILTER (WHERE ${mismatchCondition(m)})::INTEGER AS m${i}, count(*) FILTER (WHERE ${of(m)})::INTEGER AS of${i}`).join(', ')}
    FROM followup WHERE ${any}`));
  const number = (name: string): number => rows.numbers(name)[0]!;
  const parts = mismatches.map(({ label }, i): PatternPart => ({ kind: 'other', label, count: number(`m${i}`), of: number(`of${i}`), expected: NaN, p: NaN }))
    .filter(({ count }) => count > 0).sort((a, b) => b.count - a.count);
  return anyOf({
    id: 'class-and-components', area: 'implants', label: 'Components that do not go with the class of the procedure', unit: 'procedures',
    rule: 'Looked at where any component is recorded. Which ones go together is common practice, no source. Asked about as soon as there is one.',
    todo: { text: 'Ask whether the class or the list of components is right; a component that was set aside may be missing.', href: '/data/' },
  }, number('any_of'), number('n'), parts);
}
