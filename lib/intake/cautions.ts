// What the columns of a hospital's export are often called that identify a person and are of no use here. Common practice, no source.
const byName: readonly { readonly name: RegExp; readonly but?: RegExp; readonly is: string }[] = [
  {
    name: /(^|[^a-z])(sur|first|last|fore|family|given|patient|full|maiden)?[ _]?name\b|nachname|vorname|^nom\b|pr[ée]nom|apellido|nombre|navn$|f[öo]rnamn|efternamn/i,
    but: /hosp|clin|klin|model|maker|manufact|product|implant|unit|department|region|registry|file|study|component|brand/i, is: 'names of persons',
  },
  { name: /birth|\bdob\b|geburt|naissance|nacimiento|f[öo]d(d|else)|f[øo]dsel|syntym|geboorte/i, but: /weight/i, is: 'birth dates' },
  { name: /\bssn\b|nhs|social.?sec|personnummer|\bcpr\b|\bfnr\b|\bahv\b|versicher|insurance|\bbsn\b|passport|national.?id/i, is: 'national or insurance numbers' },
  { name: /address|adresse|street|stra(ss|ß)e|post.?code|\bzip\b|\bplz\b|phone|telefon|e-?mail|mobile/i, is: 'addresses or telephone numbers' },
  { name: /serial|seriennummer|udi.?pi|production.?id/i, is: 'serial numbers of devices, which lead to one patient' },
];
const byValue: readonly { readonly value: RegExp; readonly is: string }[] = [
  { value: /^[^\s@]+@[^\s@]+\.[a-z]{2,}$/i, is: 'addresses or telephone numbers' },
  { value: /\(21\)\S/, is: 'serial numbers of devices, which lead to one patient' }, // GS1 application identifier 21: serial number
  { value: /^\d{6}(\d{2})?[-+]\d{4}$/, is: 'national or insurance numbers' },
];

/** Why a column should not be in the file at all; null where nothing speaks against it. */
export function cautionOf(name: string, values: readonly string[]): string | null {
  const named = byName.find((each) => each.name.test(name.replace(/([a-z])([A-Z])/g, '$1 $2')) && each.but?.test(name) !== true);
  const seen = values.slice(0, 200);
  const found = named ?? byValue.find(({ value }) => seen.length > 0 && seen.filter((each) => value.test(each)).length * 2 > seen.length);
  return found === undefined ? null : `This looks like ${found.is}. Nothing here needs it: leave the column out of the file.`;
}
