'use client';
import { useId } from 'react';
import { dateOrders, type DateOrder, type FieldSource } from '../../../lib/contract/mapping';
import type { FoundColumn } from '../../../lib/intake/inspection';
import { dayQuestion, dayRead, tellingDay } from '../../../lib/reports/importing/days';

type FromColumn = Extract<FieldSource, { column: string }>;

/** How the days of a column are written: said where only one order fits, asked with a day of the file where several do. */
export function DayOrder({ from, column, samples, name, onChange }: {
  readonly from: FromColumn; readonly column: FoundColumn; readonly samples: readonly string[]; readonly name: string; readonly onChange: (order: DateOrder) => void;
}) {
  const group = useId();
  const fitting = column.dateOrders;
  const [only] = fitting;
  if (only !== undefined && fitting.length === 1 && (from.dates ?? 'year-month-day') === only) {
    const day = samples.find((value) => dayRead(value, only) !== null);
    return day === undefined ? null : <p className="help">{day} is read as {dayRead(day, only)}: no other order fits.</p>;
  }
  if (fitting.length === 0 && from.dates === undefined) return null; // no days, or days that say by themselves
  const example = tellingDay(samples, fitting.length > 0 ? fitting : dateOrders);
  return (
    <fieldset className={from.dates === undefined ? 'day-order asked' : 'day-order'}>
      <legend>{dayQuestion(example, fitting)}</legend>
      {(fitting.length > 0 ? fitting : dateOrders).map((order) => (
        <label key={order} className="confirm">
          <input type="radio" name={group} checked={from.dates === order} onChange={() => { onChange(order); }} aria-label={`${order}: ${name}`} />{' '}
          {(example === null ? null : dayRead(example, order)) ?? order}
        </label>
      ))}
    </fieldset>
  );
}
