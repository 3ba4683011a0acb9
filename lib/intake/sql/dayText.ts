import type { DateOrder } from '../../contract/mapping';
import { compactDate, datePatterns, namedMonth, type DatePattern } from '../dates';
import { quoteText } from './quoting';

/** SQL: the day that a text means in the order, as ISO 8601; NULL where it is not written so, or there is no such day. */
export function dayText(text: string, order: DateOrder): string {
  const digits = ({ pattern, parts }: DatePattern): string =>
    `WHEN regexp_full_match(${text}, ${quoteText(pattern)}) THEN try_cast(regexp_replace(${text}, ${quoteText(pattern)}, ${quoteText(parts)}) AS DATE)::VARCHAR`;
  const group = (n: number): string => `regexp_extract(${text}, ${quoteText(namedMonth.pattern)}, ${n})`;
  const place = `instr(${quoteText(namedMonth.months)}, lower(${group(2)}))`;
  const named = `WHEN regexp_full_match(${text}, ${quoteText(namedMonth.pattern)}) THEN CASE WHEN ${place} % 3 = 1
    THEN try_cast(${group(3)} || '-' || ((${place} + 2) // 3) || '-' || ${group(1)} AS DATE)::VARCHAR END`;
  const more = { 'year-month-day': digits(compactDate), 'day-month-year': named, 'month-day-year': '' }[order];
  return `CASE ${digits(datePatterns[order])} ${more} END`;
}
