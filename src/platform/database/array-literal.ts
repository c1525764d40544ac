/**
 * Writes a list as a PostgreSQL array literal. The driver can do this too, but it checks the type
 * of every value. For the tens of thousands of values of a batch, that takes longer than all the
 * other work on them.
 *
 * @example arrayLiteral(['a', null, 2]) // '{"a",NULL,2}'
 */
export function arrayLiteral(values: readonly (string | number | boolean | Date | null)[]): string {
  const parts: string[] = [];
  for (const value of values) {
    if (value === null) parts.push('NULL');
    else if (typeof value === 'string') parts.push(quoted(value));
    else if (value instanceof Date) parts.push(quoted(value.toISOString()));
    else parts.push(String(value));
  }
  return `{${parts.join(',')}}`;
}

const SPECIAL = /["\\]/;

function quoted(text: string): string {
  return SPECIAL.test(text) ? `"${text.replaceAll(/["\\]/g, String.raw`\$&`)}"` : `"${text}"`;
}
