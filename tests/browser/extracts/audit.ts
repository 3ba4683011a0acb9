/** A hospital's audit of 600 procedures: key, day, design, and the day of the revision or the last day of follow-up; nothing else. */
export function audit(): readonly { readonly name: string; readonly text: string }[] {
  const day = (n: number): string => new Date(Date.UTC(2008, 0, 1) + n * 86_400_000).toISOString().slice(0, 10);
  const numbers = Array.from({ length: 600 }, (_, i) => i), text = (header: string, lines: readonly string[]): string => [header, ...lines, ''].join('\n');
  return [
    { name: 'registry.csv', text: text('name,version,opened,closing_date,deaths_closing_date', ['Audit of one hospital,2020,2008-01-01,2020-12-31,2020-12-31']) },
    { name: 'procedures.csv', text: text('procedure_id,procedure_date,joint,follow_up_end', numbers.map((i) => `${i},${day(4 * i)},shoulder,${i % 7 === 0 ? day(4 * i + 1800) : ''}`)) },
    { name: 'components.csv', text: text('procedure_id,role,design_class', numbers.map((i) => `${i},glenoid,${['all_poly_pegged', 'all_poly_keeled', 'metal_backed'][i % 3]!}`)) },
    { name: 'revisions.csv', text: text('procedure_id,revision_date,kind', numbers.filter((i) => i % 11 === 0 || i % 9 === 2).map((i) => `${i},${day(4 * i + 200 + 37 * (i % 40))},unspecified`)) },
  ];
}
